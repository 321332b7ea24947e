"""Flat parts: unrolling, folds, nesting on sheets, printing at full size."""

"""Drawings of a worked-out design: one house style, sheet millimetres, plain SVG."""

"""Loads along the span, sections as built, margins, joints, wires and booms."""

"""Geometry: lifting surfaces made of panels, sections, bodies, and the layout they make."""

"""What changed between two revisions of a design: numbers, parts, sheets, steps, findings."""

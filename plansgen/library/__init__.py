"""Reading: folders of plain text in, validated frozen designs in SI units out."""

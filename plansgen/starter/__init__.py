"""New libraries, and new designs with sensible proportions to begin from."""

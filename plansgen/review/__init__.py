"""Rules that read the results and say what is wrong, why, and what to do."""

"""FIT files."""

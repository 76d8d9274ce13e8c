"""Writing, listing and changing notes."""

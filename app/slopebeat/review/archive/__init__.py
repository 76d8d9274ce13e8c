"""Everything of one athlete as one file, out and in."""

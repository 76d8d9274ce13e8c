"""The same ground again: where outings went before, and what the heart did there."""

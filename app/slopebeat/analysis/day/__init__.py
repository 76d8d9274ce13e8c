"""Parts of one day: which belong together, their common account and their common drift."""

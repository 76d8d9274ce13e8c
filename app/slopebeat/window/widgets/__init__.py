"""Building blocks that every page uses."""

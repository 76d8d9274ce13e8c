"""The week of every athlete, and what was looked at."""

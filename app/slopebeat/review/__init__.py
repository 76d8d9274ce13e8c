"""Joins reading, cleaning and analysis into one review of an outing, without any window toolkit."""

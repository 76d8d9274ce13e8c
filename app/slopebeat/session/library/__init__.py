"""The library that is open, and long work on it."""

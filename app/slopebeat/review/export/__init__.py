"""A review as tables and as text."""

"""Every figure explained, and where the guide lies."""

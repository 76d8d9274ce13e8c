"""What is remembered between two runs, and how things are shown."""

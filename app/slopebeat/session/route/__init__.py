"""The route being planned."""

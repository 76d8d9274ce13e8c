"""The next outing planned on its terrain."""

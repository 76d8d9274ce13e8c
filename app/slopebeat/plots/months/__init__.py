"""The charts of the months."""

"""The charts of a planned route."""

"""The charts of one outing."""

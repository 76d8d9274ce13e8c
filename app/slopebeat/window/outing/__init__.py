"""The page of one outing."""

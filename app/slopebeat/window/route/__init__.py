"""The page of a planned route."""

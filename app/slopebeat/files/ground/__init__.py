"""Files of the ground itself: elevation, and tiles of a map."""

"""Ground that was gone before: from reviews to places, and from places to what is said."""

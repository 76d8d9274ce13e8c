"""Finding a heart-rate band: maximum, lactate steps, and the field test of its upper edge."""

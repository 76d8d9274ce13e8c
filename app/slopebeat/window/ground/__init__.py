"""Ground gone before on screen."""

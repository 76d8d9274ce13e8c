"""Live state of the window: what is open, what is selected, background work."""

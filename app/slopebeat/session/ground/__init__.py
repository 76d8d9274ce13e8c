"""Ground gone before: of the athlete looked at, and of the outing that is open."""

"""A way to come: its ground, the athlete's speed on it, and the outing predicted."""

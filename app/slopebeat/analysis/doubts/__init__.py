"""Doubts that need the work rate: heart rate it cannot explain, and work that is not the athlete's."""

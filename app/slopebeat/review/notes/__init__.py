"""Notes and decisions: where they are kept, and what the heart rate says beside them."""

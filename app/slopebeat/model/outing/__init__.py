"""What belongs to an outing beside its recording: notebooks, and what notes and marks say of each record."""

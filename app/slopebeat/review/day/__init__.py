"""Several recordings of one day reviewed as one outing."""

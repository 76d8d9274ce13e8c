"""One module per question asked of an outing; pure functions on arrays."""

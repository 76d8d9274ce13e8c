"""What was done, told from how it went."""

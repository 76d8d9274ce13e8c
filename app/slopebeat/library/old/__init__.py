"""What earlier versions wrote, read once: it stays as it is when words and records change."""

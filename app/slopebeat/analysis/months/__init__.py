"""What changed over many outings, and weeks against the prescription."""

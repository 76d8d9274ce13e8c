"""Months of outings: weeks against the prescription, figures over time, and what changed."""

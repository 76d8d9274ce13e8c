"""Slopebeat: what an outing on terrain was worth, in minutes inside a heart-rate band."""

__version__ = "0.1.0"

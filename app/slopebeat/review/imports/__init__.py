"""Recordings brought into a library."""

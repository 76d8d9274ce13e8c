"""Readers: one module per file format, each turning bytes into recordings."""

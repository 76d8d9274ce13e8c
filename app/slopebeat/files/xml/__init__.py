"""GPX and TCX files, and planned routes."""

"""Athletes, bands, outings and notes kept for years in one file. Knows no reader, analysis or window."""

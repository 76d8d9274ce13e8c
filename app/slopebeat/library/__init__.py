"""The store of athletes, bands, outings and notes kept for years."""

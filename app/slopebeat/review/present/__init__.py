"""Every figure said once: key, name, hint, unit, value, and its names in JSON and CSV."""

"""Commands on what a library keeps: athletes, bands, outings, archives, backups."""

"""What ground costs: the minutes on the clock for the minutes in band, from an athlete's own outings."""

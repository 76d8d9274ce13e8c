"""The outing on screen: opening, aim, doubts, notes, what is looked at, and keeping it."""

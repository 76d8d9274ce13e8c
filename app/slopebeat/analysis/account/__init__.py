"""Where the time of an outing went: account, climbs, episodes, causes, and how much longer it must last."""

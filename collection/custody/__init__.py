"""Who has what, where: parties, places, moves, thefts and recoveries."""

"""Places, moves, thefts and recoveries."""

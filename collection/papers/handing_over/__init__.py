"""A piece leaves for good, sold or back to its owner, and its history goes with it."""

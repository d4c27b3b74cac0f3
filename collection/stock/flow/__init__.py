"""Conservation of a lot at every moment: what came in, and where it is or went."""

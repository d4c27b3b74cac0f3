"""Hour meters of a piece beside what was logged."""

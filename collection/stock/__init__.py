"""A finite stock of parts: types, lots, sets, and how many years remain."""

"""Mains safety: the test itself, how often the collection asks for it, and what is due."""

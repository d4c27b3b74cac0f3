"""Freight: what is on the way, with whom, and when it is expected."""

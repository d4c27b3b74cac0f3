"""Faults of the whole collection, and each on its way out."""

"""Pieces, loans and titles as they stood at the end of a day: for probate, a claim, year end."""

"""Loose tested tubes: their slips, sets made of them, mates that are left."""

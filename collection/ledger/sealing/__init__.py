"""Seals: the book in two numbers that leave the house, and what they show later."""

"""Stays at a repairer: sent, diagnosed, quoted, approved, back, proven."""

"""Checking a paper that somebody was handed: open to anybody, nothing stored."""

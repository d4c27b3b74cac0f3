"""The pure core: dates, proofs, numbers and choices; no web, no clock, no files."""

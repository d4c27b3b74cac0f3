"""Pages that show several capabilities at once; they only read."""

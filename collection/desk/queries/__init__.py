"""Reading several capabilities at once, for the front pages."""

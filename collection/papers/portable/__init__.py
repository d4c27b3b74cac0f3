"""A whole collection as one file that another site can take in."""

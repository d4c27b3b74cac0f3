"""A piece and its provenance as linked records that other catalogues read."""

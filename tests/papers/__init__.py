"""Papers that leave the house."""

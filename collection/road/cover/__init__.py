"""Backup for a whole tour: every show and position, and what would close the holes."""

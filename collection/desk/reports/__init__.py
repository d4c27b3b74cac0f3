"""The report of a night: what was played, what died, what was noted, what was changed."""

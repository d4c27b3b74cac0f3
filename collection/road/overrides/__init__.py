"""What plays at a position on one night only, and why."""

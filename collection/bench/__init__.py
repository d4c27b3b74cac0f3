"""The bench: faults, repairs, checks, tags, what is fitted where."""

"""What is due: service plans that a person chose, and what has been done since."""

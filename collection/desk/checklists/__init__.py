"""Lists computed from the book: before a tour, and before everything stands still."""

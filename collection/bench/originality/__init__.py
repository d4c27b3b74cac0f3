"""What is original on a piece, and when it was built: statements side by side."""

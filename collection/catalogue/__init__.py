"""What there is: designs, circuits, pieces and their photos."""

"""Ways to make a stock last: side by side, kept as named plans, compared with what came."""

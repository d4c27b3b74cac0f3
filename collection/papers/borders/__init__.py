"""Borders: the carnet's list of goods, list against truck, crossings and their stamps."""

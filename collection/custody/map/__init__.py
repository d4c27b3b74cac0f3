"""The map of everything: what is where, on land drawn by the gazetteer's own towns."""

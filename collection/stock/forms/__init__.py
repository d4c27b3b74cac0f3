"""Forms of the stock: what there is, acts on a lot, parts in a piece, choices."""

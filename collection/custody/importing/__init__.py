"""Bringing in a spreadsheet that exists already: pieces, where they are, who has them."""

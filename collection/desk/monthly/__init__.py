"""A seal of the book by mail, once a month, to people outside."""

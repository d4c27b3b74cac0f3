"""Papers for others: the theft notice and the sheet for the officer."""

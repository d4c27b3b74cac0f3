"""Taking personal data out of the book, so that leaves, proofs and states stay."""

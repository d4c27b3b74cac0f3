"""The append-only book of a collection: append, read, fold, prove."""

"""The check of what arrives: warm and dry first, then the case, the contents, the faults."""

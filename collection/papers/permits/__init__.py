"""Permits: what parts are made of, certificates of instruments, cautions before a journey."""

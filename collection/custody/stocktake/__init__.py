"""Stocktakes: blind first, then compared, closed in one act, signed by somebody else."""

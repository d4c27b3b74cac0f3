"""Links by which somebody without an account reads one paper or one piece, and nothing else."""

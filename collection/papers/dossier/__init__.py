"""The dossier of a piece: chosen entries with their proofs, set as a paper that can be checked."""

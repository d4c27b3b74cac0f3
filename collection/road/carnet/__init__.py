"""The carnet rule set aside for a piece by a keeper, with the reason."""

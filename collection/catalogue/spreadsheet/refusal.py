"""A cell that could not be read, with the reason in plain words."""


class CellRefused(ValueError):
    """The text stays in the notes of its piece; `reason` says why it went no further."""

    def __init__(self, reason: str) -> None:
        super().__init__(reason)
        self.reason = reason


class RowRefused(CellRefused):
    """A cell without which the row cannot go in at all."""

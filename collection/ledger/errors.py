"""What may be wrong with an entry, in sentences for the person who wrote it."""


class LedgerError(ValueError):
    """Something that cannot go into the book, with a sentence for the person."""


class PlanRefused(LedgerError):
    """A plan that the book speaks against; `reasons` are whole sentences, all of them."""

    def __init__(self, reasons: tuple[str, ...]) -> None:
        super().__init__(" ".join(reasons))
        self.reasons = reasons


class NotTheNewest(LedgerError):
    """A correction of an entry that has been corrected already."""


class CodeTaken(LedgerError):
    """A code that already means something in this collection."""

"""What goes with a piece: asked wherever a piece is packed, lent, or comes back.

A page shows `goes_with_check(piece)` by `_parts/goes_with.html`; what comes back under the name
`goes_with` is handed to `without`, whose sentence belongs into the entry's words.
"""

import re
from collections.abc import Iterable
from dataclasses import dataclass

from collection.catalogue.models import Piece

FIELD = "goes_with"
_BETWEEN = re.compile(r"[,;\n]")


@dataclass(frozen=True)
class GoesWith:
    """One thing that goes with a piece, and what a tick box sends for it."""

    piece: str
    what: str

    @property
    def value(self) -> str:
        """What the box sends: the piece too, since several pieces may be asked about at once."""
        return f"{self.piece}|{self.what}"


def goes_with_check(piece: Piece) -> tuple[GoesWith, ...]:
    """What is asked about a piece: each thing between commas in 'what goes with it'."""
    said = (part.strip() for part in _BETWEEN.split(piece.goes_with))
    return tuple(GoesWith(piece.code, what) for what in dict.fromkeys(said) if what)


def without(check: Iterable[GoesWith], ticked: Iterable[str]) -> str:
    """What was not ticked, as in 'Without foot switch.'; '' when everything is there."""
    there = set(ticked)
    missing = [one.what for one in check if one.value not in there]
    return f"Without {', '.join(missing)}." if missing else ""

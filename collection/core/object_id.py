"""The description by which a stolen piece is known again: every heading, filled or not.

A heading that nobody filled prints 'not recorded', since a heading that is left out looks as if it
did not apply. Fewer than one overall photo and one of what tells the piece from its twins is
flagged: without them the sheet hardly finds anything.

Source: ICOM archive, Documenting the Cultural Heritage, Object ID categories 1.1 to 1.11 and the
checklist in four steps (archives.icom.museum/object-id/heritage). The five headings behind them
(inventory number, related written material, place of origin, related objects, date documented) are
recommended there; from memory.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Final

NOT_RECORDED: Final = "not recorded"
# Views of a photo: of the whole, and of what is this piece's alone.
OVERALL: Final = frozenset({"front", "back"})
DISTINGUISHING: Final = frozenset({"serial", "grain", "scar", "chassis"})
HEADINGS: Final = (
    ("photographs", "Photographs"),
    ("type", "Type of object"),
    ("measurements", "Measurements"),
    ("materials", "Materials and techniques"),
    ("inscriptions", "Inscriptions and markings"),
    ("date", "Date or period"),
    ("maker", "Maker"),
    ("subject", "Subject"),
    ("title", "Title"),
    ("features", "Distinguishing features"),
    ("description", "Description"),
    ("inventory", "Inventory number"),
    ("written", "Related written material"),
    ("origin", "Place of origin"),
    ("related", "Related objects"),
    ("documented", "Date documented"),
)
# What the checklist asks of whoever stands before the object (its second step).
ANSWERED: Final = (
    "type", "materials", "measurements", "inscriptions", "features", "title", "subject", "date",
    "maker",
)  # fmt: skip
KEEP_SECURE: Final = "Keep a copy in a safe place away from the object."


@dataclass(frozen=True)
class Heading:
    """One heading with its lines; no lines print 'not recorded'."""

    key: str
    name: str
    lines: tuple[str, ...]

    @property
    def recorded(self) -> bool:
        """Whether anybody filled it."""
        return bool(self.lines)

    @property
    def printed(self) -> tuple[str, ...]:
        """The lines as they are printed; never none."""
        return self.lines or (NOT_RECORDED,)


@dataclass(frozen=True)
class Sheet:
    """All headings in their order, and what is missing before the sheet is of use."""

    headings: tuple[Heading, ...]
    missing: tuple[str, ...]


def sheet(said: Mapping[str, tuple[str, ...]], *, views: tuple[str, ...]) -> Sheet:
    """The sheet of one piece.

    Args:
        said: lines by key of HEADINGS; blank lines do not count. 'photographs' is counted from
            `views` and need not be given.
        views: the view of each photo that can be printed, keys as in OVERALL and DISTINGUISHING.

    Raises:
        ValueError: a key that is no heading.
    """
    unknown = set(said) - {key for key, _ in HEADINGS}
    if unknown:
        raise ValueError(f"no such heading: {', '.join(sorted(unknown))}")
    given = {**said, "photographs": said.get("photographs") or _counted(views)}
    headings = tuple(
        Heading(key, name, tuple(line for line in given.get(key, ()) if line.strip()))
        for key, name in HEADINGS
    )
    return Sheet(headings, tuple(_missing(headings, views)))


def _counted(views: tuple[str, ...]) -> tuple[str, ...]:
    overall = sum(view in OVERALL for view in views)
    close = sum(view in DISTINGUISHING for view in views)
    other = len(views) - overall - close
    counts = ((overall, "of the whole"), (close, "of marks or damage"), (other, "others"))
    return tuple(f"{count} {words}" for count, words in counts if count)


def _missing(headings: tuple[Heading, ...], views: tuple[str, ...]) -> Iterator[str]:
    if not OVERALL & set(views):
        yield "No photo of the whole piece."
    if not DISTINGUISHING & set(views):
        yield "No photo of what tells it from its twins: serial, grain, a scar, the chassis."
    empty = [one.name for one in headings if one.key in ANSWERED and not one.recorded]
    if empty:
        yield f"{len(empty)} of {len(ANSWERED)} answers not recorded: {', '.join(empty).lower()}."

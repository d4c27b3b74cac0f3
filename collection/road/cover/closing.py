"""What would close the holes of a tour, the most shows first, then the least trouble."""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from collection.core.backup import Closer
from collection.road.cover.spares import Spare
from collection.road.models import OutsideCandidate, RigPosition, Show
from collection.road.wanted.models import Wanted

# What a change comes to, and its place among equals: an inspection before a purchase.
_HOW = {
    "evidence": Wanted.How.INSPECT, "late": Wanted.How.SEND, "barred": Wanted.How.SETTLE,
    "border": Wanted.How.PAPERS, "second": Wanted.How.BUY, "traits": Wanted.How.SETTLE,
}  # fmt: skip
# What nobody can change about a piece: it is another thing, or the artist said never.
_NEVER_CLOSES = ("kind", "family", "never", "itself")
_ORDER = [Wanted.How.INSPECT, Wanted.How.SETTLE, Wanted.How.SEND, Wanted.How.PAPERS,
          Wanted.How.HIRE, Wanted.How.BUY, Wanted.How.OTHER]  # fmt: skip

_NOTHING = "Nothing on record could stand in."


@dataclass(frozen=True)
class Closing:
    """One thing to do, and the holes it could close, one a show; without a spare, find one."""

    how: str
    spare: Spare | None
    because: str
    holes: tuple[tuple[Show, RigPosition], ...]

    @property
    def shows(self) -> int:
        """At how many shows it would close a hole; one piece closes one at a time."""
        return len({show.pk for show, _ in self.holes})

    @property
    def code(self) -> str:
        return self.spare.candidate.code if self.spare else ""

    @property
    def what(self) -> str:
        """What to do, for the wanted list."""
        if self.spare is None:
            return f"Hire or buy something for {self.places}"
        code, name = self.code, self.spare.called
        return {
            Wanted.How.INSPECT: f"Inspect {code} {name}",
            Wanted.How.SEND: f"Send {code} {name} sooner",
            Wanted.How.SETTLE: f"Settle what bars {code} {name}",
            Wanted.How.PAPERS: f"Papers for {code} {name}",
            Wanted.How.HIRE: f"Ring about {name}",
            Wanted.How.BUY: f"A second one like {code} {name}",
        }.get(self.how, f"{code} {name}")

    @property
    def places(self) -> str:
        """The positions it would help at, in words."""
        return ", ".join(dict.fromkeys(str(position) for _, position in self.holes))

    @property
    def why(self) -> str:
        """Why it is wanted, for the wanted list."""
        count = self.shows
        return (
            f"No backup at {self.places}, {count} show{'' if count == 1 else 's'}. {self.because}"
        )


def closings(
    nights: Iterable, known: Mapping[str, Spare], rows: list[RigPosition]
) -> tuple[Closing, ...]:
    """Every change that closes a hole by itself, and what has to be found where none does."""
    found: dict[tuple[str, str], list[tuple[Show, RigPosition, str]]] = defaultdict(list)
    for night in nights:
        for row, cell in zip(rows, night.cells, strict=True):
            if cell is not None and cell.spare is None:
                closers = [c for c in cell.assignment.closed_by if c.how not in _NEVER_CLOSES]
                if not closers:
                    found[Wanted.How.HIRE, f"#{row.number}"].append((night.show, row, _NOTHING))
                for closer in closers:
                    key = _how(closer, known), closer.code
                    found[key].append((night.show, row, closer.because))
    made = [
        Closing(how, known.get(code), several[0][2], tuple((show, row) for show, row, _ in several))
        for (how, code), several in found.items()
    ]
    return tuple(sorted(made, key=_rank))


def _how(closer: Closer, known: Mapping[str, Spare]) -> str:
    if isinstance(known[closer.code].row, OutsideCandidate) and closer.how != "second":
        return Wanted.How.HIRE
    return _HOW.get(closer.how, Wanted.How.OTHER)


def _rank(closing: Closing) -> tuple[Any, ...]:
    return -closing.shows, _ORDER.index(closing.how), closing.code

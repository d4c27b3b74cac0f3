"""The tube chart of one piece: positions of its circuit, what sits in them, how long it has run."""

import re
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from itertools import groupby

from collection.catalogue import queries as catalogue
from collection.catalogue.models import Piece, Position
from collection.core.drawing.pulls import PullStrip, pull_strip
from collection.core.entry import UNKNOWN_US, from_us
from collection.core.state import State, from_json
from collection.ledger.models import Event, Mention
from collection.ledger.queries import superseded
from collection.stock.models import UNKNOWN, Part, PartType
from collection.stock.positions import names_in
from collection.stock.queries.log import log_of
from collection.stock.running import Log, Ran

TUBE_NAME = re.compile(r"V\d")
LAST_PULLS = 4  # house rule: the bracket covers so many sets
LOOKED_AT = 40  # entries in which they are looked for


@dataclass(frozen=True)
class Fitted:
    """A part or set that the book has in this piece; `doubts` say what does not fit."""

    part: Part
    state: State
    position: str
    ht: Ran | None
    heater: Ran | None
    since: date | None
    doubts: tuple[str, ...]
    strip: PullStrip | None

    @property
    def in_positions(self) -> set[str]:
        """Names of the positions it was fitted in, as they were given."""
        return names_in(self.position)

    @property
    def unknown(self) -> bool:
        """Whether nobody could tell what it is."""
        return self.part.type.code == UNKNOWN

    @property
    def at_least(self) -> bool:
        """Whether it ran before it came into the book, nobody knows how long."""
        new = self.part.origin in (Part.Origin.LOT, Part.Origin.BOUGHT)
        told = new or bool(self.part.hours_before)
        return not told and (self.ht is None or not self.ht.entry_hours)

    @property
    def young(self) -> bool:
        """Under ten hours: some fail within the first ten (common practice, no source)."""
        return self.ht is not None and self.ht.hours < 10 and not self.at_least


@dataclass(frozen=True)
class Socket:
    """A position, what it takes and what is in it; `others` are said to be in it as well."""

    position: Position
    base: str
    fitted: Fitted | None
    others: tuple[Fitted, ...] = ()

    @property
    def tube(self) -> bool:
        """Whether it is a socket for a tube; motors, loops, loudspeakers have one clock to show."""
        return bool(self.base) or bool(TUBE_NAME.match(self.position.name))

    @property
    def takes(self) -> str:
        """Types that fit, best first."""
        return ", ".join(self.position.fits)

    @property
    def doubts(self) -> tuple[str, ...]:
        """What the book is not sure of here, each said once."""
        said = self.fitted.doubts if self.fitted else ()
        said += tuple(f"{one.part.code} is said to be in here as well." for one in self.others)
        return tuple(dict.fromkeys(said))


@dataclass(frozen=True)
class Sockets:
    """Positions that are fed as one matched set (`name`), or one alone."""

    name: str
    sockets: tuple[Socket, ...]

    @property
    def fitted(self) -> Fitted | None:
        """The set in these positions, when one set fills them all."""
        found = {socket.fitted.part.pk: socket.fitted for socket in self.sockets if socket.fitted}
        return next(iter(found.values())) if len(found) == 1 else None

    @property
    def mates(self) -> str:
        """Parts that stand in for a set one by one."""
        return ", ".join(socket.fitted.part.code for socket in self.sockets if socket.fitted)


@dataclass(frozen=True)
class Chart:
    """All positions, and parts the book has in the piece at no position of the chart."""

    groups: tuple[Sockets, ...]
    elsewhere: tuple[Fitted, ...]

    @property
    def sockets(self) -> list[Socket]:
        """Every position in order."""
        return [socket for group in self.groups for socket in group.sockets]

    @property
    def has_tubes(self) -> bool:
        """Whether any position is a socket for a tube."""
        return any(socket.tube for socket in self.sockets)

    @property
    def types(self) -> list[PartType]:
        """Types of what is fitted, each once."""
        fitted = [s.fitted for s in self.sockets if s.fitted] + list(self.elsewhere)
        return list({one.part.type.pk: one.part.type for one in fitted}.values())

    @property
    def unsure(self) -> list[Socket]:
        """Positions of which the book is not sure."""
        return [socket for socket in self.sockets if socket.doubts]


def chart_of(piece: Piece) -> Chart:
    """The chart of a piece; 11 queries whatever it has run and however many sockets it has."""
    places = catalogue.positions(piece.circuit) if piece.circuit else []
    fitted = fitted_in(piece)
    bases = _bases(piece, places)
    sockets = [_socket(position, fitted, bases) for position in places]
    groups = groupby(sockets, key=lambda s: s.position.matched_with or f"\0{s.position.name}")
    used = {one.part.pk for s in sockets for one in (s.fitted, *s.others) if one}
    return Chart(
        tuple(Sockets(name if name[0] != "\0" else "", tuple(found)) for name, found in groups),
        tuple(one for one in fitted if one.part.pk not in used),
    )


# -- what is in it -------------------------------------------------------------------------------
def fitted_in(piece: Piece) -> list[Fitted]:
    """Parts that the book has in a piece, with hours on both clocks and what is doubted."""
    said = dict(_known(piece.subject).fitted)
    if not said:
        return []
    rows = Part.objects.of(piece.collection).filter(code__in=said)
    parts = list(rows.select_related("type", "lot", "subject__state"))
    pulls = _last_pulls(piece, {part.type_id for part in parts})
    log = log_of(piece.collection, {*said, *(code for found in pulls.values() for code in found)})
    asked = _asked(piece, parts)
    return [_fitted(piece, part, said[part.code], log=log, pulls=pulls, asked=asked)
            for part in parts]  # fmt: skip


def _fitted(piece: Piece, part: Part, position: str, *, log: Log, pulls, asked) -> Fitted:
    state, ht = _known(part.subject), log.ran(part.code, "ht")
    at = [ran.hours for code in pulls.get(part.type_id, ()) if (ran := log.ran(code, "ht"))]
    return Fitted(
        part=part,
        state=state,
        position=position,
        ht=ht,
        heater=log.ran(part.code, "heater"),
        since=_day(piece, ht),
        doubts=tuple(_doubts(piece, part, state, log, asked)),
        strip=pull_strip(ht.hours, at) if ht and part.type.clock == PartType.Clock.HT else None,
    )


def _doubts(piece: Piece, part: Part, state: State, log: Log, asked) -> Iterable[str]:
    moves = log.moves.get(part.code, ())
    yield from (text for number, text in asked if number in {move.number for move in moves})
    if state.fitted_in != piece.code:
        yield f"The book has {part.code} in {state.fitted_in or 'no piece'} since."
    last = moves[-1] if moves else None
    if last is not None and last.certainty != "certain":
        yield f"That {part.code} is in here is {last.certainty}."


def _day(piece: Piece, ran: Ran | None) -> date | None:
    if ran is None or ran.since is None or ran.since[0] == UNKNOWN_US:
        return None
    return from_us(ran.since[0]).astimezone(piece.collection.zone_info).date()


def _known(subject) -> State:
    row = getattr(subject, "state", None)
    return from_json(row.detail) if row else State()


def _asked(piece: Piece, parts: Iterable[Part]) -> list[tuple[int, str]]:
    """(number of the entry asked about, the question) of every open one of the piece or parts."""
    about = [piece.pk, *(part.pk for part in parts)]
    rows = Event.objects.of(piece.collection).filter(
        ~superseded(), kind="asked", subject__state__condition="open",
        pk__in=Mention.objects.filter(role="about", subject__in=about).values("entry"),
    )  # fmt: skip
    return [(e.facts["entry"], e.facts["question"]) for e in rows if e.facts["entry"] is not None]


def _last_pulls(piece: Piece, types: set[int]) -> dict[int, list[str]]:
    """The last sets of each type that were pulled while still good, newest first."""
    rows = (
        Mention.objects.filter(
            role="part", entry__kind__in=("pulled", "removed"), subject__part__type__in=types
        )
        .exclude(entry__sequence__in=_corrected(piece))
        .order_by("-placed_us", "-entry__sequence")
        .values_list("subject__part__type", "subject__code", "entry__kind", "entry__facts")
    )
    found: dict[int, list[str]] = {}
    for kind, code, entry, facts in rows[:LOOKED_AT]:
        known = found.setdefault(kind, [])
        pulled = entry == "pulled" or facts.get("to") == "pulled"
        if pulled and code not in known and len(known) < LAST_PULLS:
            known.append(code)
    return found


def _corrected(piece: Piece):
    rows = Event.objects.of(piece.collection).filter(corrects__isnull=False)
    return rows.values("corrects")


# -- positions -----------------------------------------------------------------------------------
def _bases(piece: Piece, places: list[Position]) -> dict[str, str]:
    wanted = {code for position in places for code in position.fits}
    types = PartType.objects.of(piece.collection).filter(code__in=wanted)
    return dict(types.values_list("code", "base"))


def _socket(position: Position, fitted: list[Fitted], bases: dict[str, str]) -> Socket:
    named = {position.name, position.matched_with} - {""}
    here = sorted((one for one in fitted if one.in_positions & named), key=_surest)
    said = here[0].part.type.base if here else ""
    said = said or next((bases[code] for code in position.fits if bases.get(code)), "")
    base = next((base for base in ("octal", "noval") if base in said.casefold()), "")
    return Socket(position, base, here[0] if here else None, tuple(here[1:]))


def _surest(one: Fitted) -> tuple[bool, int]:
    """What the book is surest of first: still here, then put in last."""
    at = one.ht.since[1] if one.ht and one.ht.since else -1
    return (one.state.position != one.position, -at)

"""Everything one piece's page says, with a fixed number of queries."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date, datetime, time, tzinfo

from django.db.models import Q

from collection.bench.models import Fault
from collection.bench.originality.pages import Settles, settles_of
from collection.bench.readings.queries import Reading, latest
from collection.catalogue import queries as catalogue
from collection.catalogue.models import Photo, Piece
from collection.catalogue.told import Told, told_of
from collection.core import recovery
from collection.core.entry import UNKNOWN_US, from_us
from collection.core.state import OPEN_CONDITIONS, State, from_json
from collection.custody.models import Party, Place
from collection.desk.queries.evidence import EvidenceLine, evidence_of
from collection.desk.queries.pieces import PieceLine, lines
from collection.desk.queries.runs import Run, in_runs
from collection.desk.queries.whereabouts import Places, places_for
from collection.ledger.models import Event
from collection.ledger.queries import PAGE, questions_about
from collection.road.models import RigPosition, Show, Tour
from collection.stock.sockets.chart import Chart, chart_of
from registry.access.models import Membership
from registry.access.queries import member_names

FAULT_WAY = ("open", "not-reproduced", "fixed", "proven")


@dataclass(frozen=True)
class Step:
    """One step on a fault's way out."""

    words: str
    reached: bool
    here: bool
    note: str = ""


@dataclass(frozen=True)
class FaultLine:
    """A fault of the piece with where it stands on its way out."""

    fault: Fault
    condition: str
    clean_shows: int

    @property
    def open(self) -> bool:
        """Whether it still speaks against the piece."""
        return self.condition in OPEN_CONDITIONS

    @property
    def words(self) -> str:
        """Its condition in words."""
        return self.condition.replace("-", " ")

    @property
    def way(self) -> tuple[Step, ...]:
        """The four steps; only those reached are filled."""
        first = self.condition if self.condition == "intermittent" else "open"
        here = FAULT_WAY.index(self.condition) if self.condition in FAULT_WAY else 0
        needed = self.fault.proven_after_shows
        notes = ("", "", f"{self.clean_shows} of {needed} shows since" if here == 2 else "",
                 f"after {needed} shows")  # fmt: skip
        names = (first, *FAULT_WAY[1:])
        return tuple(
            Step(name.replace("-", " "), place in {0, here}, place == here, note)
            for place, (name, note) in enumerate(zip(names, notes, strict=True))
        )


@dataclass(frozen=True)
class Sighting:
    """Who saw it last, where, when (`on` the day, `at` the moment where the hour is known)."""

    by: str
    on: date | None
    at: datetime | None
    where: str
    source: str


@dataclass(frozen=True)
class PiecePage:
    """The page of one piece, as this member may see it."""

    line: PieceLine
    where_code: str
    holder: str
    owner: str
    usually: str
    seen: Sighting | None
    evidence: list[EvidenceLine]
    faults: list[FaultLine]
    chart: Chart
    reading: Reading | None  # the latest at idle
    photos: list[Photo]
    life: list[Told | Run]
    older: int | None  # the entry below which the life line goes on
    questions: list[Event]
    tag_by: str
    incident: str
    gates: tuple[tuple[str, str], ...]
    alike: list[Piece]
    settles: Settles
    tonight: str

    @property
    def piece(self) -> Piece:
        """The piece's row."""
        return self.line.piece

    @property
    def state(self) -> State:
        """What the book says of it."""
        return self.line.state

    @property
    def described(self) -> list[tuple[str, str]]:
        """What else is written of it, as (words, value), without what is not known."""
        piece = self.piece
        said = [
            ("Finish", piece.finish),
            ("Size", piece.size),
            ("Mass", f"{piece.mass_grams / 1000:g} kg" if piece.mass_grams else ""),
            ("Load", f"{piece.load_ohms.normalize():f} Ω" if piece.load_ohms else ""),
            ("Connectors", piece.connectors),
            ("Mains", _mains(piece)),
            ("Tuning", piece.tuning),
            ("Handed", piece.handed),
            ("Materials", piece.materials),
            ("Made in", piece.made_in),
            ("Goes with it", piece.goes_with),
        ]
        return [(words, value) for words, value in said if value]

    @property
    def safety_on(self) -> date | None:
        """The day of the last mains safety test it passed."""
        passed = self.state.safety_passed_on
        return date.fromisoformat(passed) if passed else None

    @property
    def window(self) -> dict[str, int | None] | None:
        """Years for the strip: the window and a scale around it."""
        first, last = self.piece.built_from, self.piece.built_to
        years = [day.year for day in (first, last) if day]
        if not years:
            return None
        return {
            "earliest": first.year if first else None,
            "latest": last.year if last else None,
            "first": min(years) - 3,
            "last": max(years) + 3,
        }

    @property
    def open_faults(self) -> list[FaultLine]:
        """Faults that still speak against it."""
        return [fault for fault in self.faults if fault.open]

    @property
    def settled_faults(self) -> list[FaultLine]:
        """Faults that are over."""
        return [fault for fault in self.faults if not fault.open]


def page_of(
    piece: Piece, member: Membership, *, today: date, before: int | None = None
) -> PiecePage:
    """All that the page of a piece says to this member."""
    places = places_for(member)
    (line,) = lines([piece], member=member, places=places, today=today)
    row, state, names = piece.subject.state, line.state, member_names(member.collection)
    parties = dict(Party.objects.of(member.collection).values_list("code", "name"))
    life = told_of(
        piece.subject, member, naming=_naming(places, parties, _shows(member)), before=before
    )
    return PiecePage(
        line=line,
        where_code=places.code(row.place_id),
        holder=parties.get(state.holder or "", state.holder or ""),
        owner=parties.get(state.owner or "", state.owner or ""),
        usually=places.name(piece.usual_place_id),
        seen=_sighting(state, names, places, member.collection.zone_info),
        evidence=evidence_of(member.collection, state, names),
        faults=_faults(piece, state),
        chart=chart_of(piece),
        reading=latest([piece]).get(piece.code),
        photos=catalogue.photos_of(piece.subject, member),
        life=in_runs(life, piece.code),
        older=life[-1].event.sequence if len(life) == PAGE else None,
        questions=questions_about(piece.subject),
        tag_by=names.get(state.tag.by, state.tag.by) if state.tag else "",
        incident=state.incident or "",
        gates=tuple((name, recovery.GATES[name]) for name in recovery.missing(state)),
        alike=catalogue.with_same_serial(piece),
        settles=settles_of(piece, member),
        tonight=_tonight(piece, today=today),
    )


def _mains(piece: Piece) -> str:
    volts = f"{piece.mains_volts} V" if piece.mains_volts else ""
    hertz = f"{piece.mains_hz} Hz" if piece.mains_hz else ""
    return ", ".join(filter(None, (volts, hertz)))


def _naming(
    places: Places, parties: Mapping[str, str], shows: Mapping[str, str]
) -> Callable[[str], str]:
    return lambda code: parties.get(code) or shows.get(code) or places.named_then(code)


def _shows(member: Membership) -> dict[str, str]:
    rows = Show.objects.of(member.collection).values_list("code", "number", "venue__town")
    return {code: f"show {number}, {town}" for code, number, town in rows}


def _sighting(
    state: State, names: Mapping[str, str], places: Places, zone: tzinfo
) -> Sighting | None:
    seen = state.seen
    if seen is None:
        return None
    at = from_us(seen.at_us).astimezone(zone) if seen.at_us != UNKNOWN_US else None
    hour_known = at is not None and at.time() != time.min  # a day alone is placed at its start
    return Sighting(
        by=names.get(seen.by, seen.by),
        on=at.date() if at else None,
        at=at if hour_known else None,
        where=places.named(seen.place) if seen.place else "",
        source=seen.source,
    )


def _faults(piece: Piece, state: State) -> list[FaultLine]:
    rows = Fault.objects.of(piece.collection).filter(piece=piece).select_related("subject__state")
    conditions = dict(state.faults)
    return [
        FaultLine(
            fault,
            conditions.get(fault.code, "open"),
            from_json(fault.subject.state.detail).clean_shows,
        )
        for fault in rows
    ]


def _tonight(piece: Piece, *, today: date) -> str:
    """Where on stage it stands on the tour that is on, or that it goes along; '' for neither."""
    held = RigPosition.objects.filter(
        piece=piece, tour__starts_on__lte=today, tour__ends_on__gte=today
    )
    position = held.select_related("tour").first()
    if position is None:
        return _along(piece, today=today)
    show = Show.objects.filter(tour=position.tour, on=today).select_related("venue").first()
    where = f"tonight, {show.venue.town or show.venue.name}" if show else f"of {position.tour}"
    return f"position {position.number} {where}"


def _along(piece: Piece, *, today: date) -> str:
    """Whether it goes along: by the list of what travels, or in a truck or case of the tour."""
    on = Tour.objects.of(piece.collection).filter(starts_on__lte=today, ends_on__gte=today)
    held = Place.objects.filter(pk=piece.subject.state.place_id)
    place = held.select_related("inside__inside").first()
    around = [place, place and place.inside, place and place.inside and place.inside.inside]
    goes = Q(travelling__piece=piece) | Q(places__in=[one.pk for one in around if one])
    tour = on.filter(goes).first()
    if tour is None:
        return ""
    behind = RigPosition.objects.filter(tour=tour, backup=piece).first()
    return f"on this tour, backup of {behind}" if behind else "on this tour, no position tonight"

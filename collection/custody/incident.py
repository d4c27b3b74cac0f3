"""One incident as it stood at a moment, read from the book."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime, tzinfo
from zoneinfo import ZoneInfo

from collection.catalogue.models import Piece
from collection.core import recovery, wording
from collection.core.chronology import exact_instant
from collection.core.entry import to_us
from collection.core.fold import fold
from collection.core.partial_date import PartialDate
from collection.core.state import Gate, from_json
from collection.core.state import State as Known
from collection.custody.filed.models import FiledPaper
from collection.custody.filed.queries import by_hash
from collection.custody.models import Incident, Place
from collection.custody.queries import behind_gate
from collection.custody.steps import STEPS, Step
from collection.ledger.models import Event
from collection.ledger.projection import ordered
from collection.ledger.queries import superseded
from registry import clock
from registry.access.queries import member_names

GONE = ("stolen", "not_found")


@dataclass(frozen=True)
class Ticked:
    """A step with who did it and when, in words; both '' while it is open."""

    step: Step
    by: str = ""
    when: str = ""


@dataclass(frozen=True)
class Passed:
    """A gate of a recovery with its answer, None while it is shut."""

    key: str
    words: str
    answer: Gate | None
    by: str = ""
    when: str = ""
    papers: tuple[FiledPaper, ...] = ()
    rests_on: Event | None = None


@dataclass(frozen=True)
class Missed:
    """A piece of the incident with its standing."""

    piece: Piece
    state: Known

    @property
    def standing(self) -> str:
        """Its standing in words."""
        return self.state.standing.replace("_", " ")

    @property
    def gates_left(self) -> int:
        """How many gates of its recovery are shut."""
        return len(recovery.missing(self.state))


@dataclass(frozen=True)
class Snapshot:
    """What the book says of an incident at a moment."""

    at: datetime
    said: Mapping[str, str]
    steps: tuple[Ticked, ...]
    missed: tuple[Missed, ...]
    zone: tzinfo

    @property
    def done(self) -> int:
        """How many steps are done."""
        return sum(1 for one in self.steps if one.by)

    @property
    def report(self) -> str:
        """How far the report to the police is, in words."""
        return Incident.Report(self.said.get("report") or "not-yet").label

    @property
    def reported(self) -> bool:
        """Whether the police know, so that the notice may go out."""
        return self.said.get("report", "") in (Incident.Report.PENDING, Incident.Report.REPORTED)

    @property
    def still_gone(self) -> int:
        """How many pieces are neither back nor in quarantine."""
        return sum(1 for one in self.missed if one.state.standing in GONE)


def zone_of(incident: Incident) -> tzinfo:
    """The clock on the wall where it happened, else the collection's."""
    place = Place.objects.filter(subject=incident.place).first() if incident.place_id else None
    zone = place.nearest("zone") if place else ""
    return ZoneInfo(zone or incident.collection.zone)


def said_when(edtf: str, zone: tzinfo) -> str:
    """A date of the book in words: 'Sat 14 Mar 2026, 10:50', or as the source says it."""
    if not edtf:
        return ""
    instant = exact_instant(edtf, zone)
    if instant is None:
        return PartialDate.parse(edtf).sentence()
    local = instant.astimezone(zone)
    return f"{wording.day(local.date(), today=None)}, {local:%H:%M}"


def pieces_of(incident: Incident, *, until_us: int | None = None) -> list[Piece]:
    """The pieces that the book names under an incident, by code; 1 query."""
    named = Event.objects.of(incident.collection).filter(
        ~superseded(), kind__in=GONE, mentions__subject=incident.subject
    )
    if until_us is not None:
        named = named.filter(placed_us__lte=until_us)
    found = Piece.objects.of(incident.collection).filter(subject__in=named.values("subject"))
    related = ("subject__state", "subject__collection", "maker", "design", "collection")
    return list(found.select_related(*related).order_by("code"))


def snapshot(incident: Incident, *, now: datetime, at: datetime | None = None) -> Snapshot:
    """The incident as it stands, or as it stood at a past moment."""
    moment = at or now
    us = to_us(moment)
    said, ticks = _said(incident, us)
    names = member_names(incident.collection)
    missed = tuple(
        Missed(piece, _state(piece, us) if at else from_json(piece.subject.state.detail))
        for piece in pieces_of(incident, until_us=us)
    )
    zone = zone_of(incident)
    steps = tuple(_ticked(step, ticks.get(step.key), names, zone) for step in STEPS)
    return Snapshot(moment, said, steps, missed, zone)


def _said(incident: Incident, us: int) -> tuple[dict[str, str], dict[str, Event]]:
    told = Event.objects.of(incident.collection).filter(
        ~superseded(), kind="described", subject=incident.subject, placed_us__lte=us
    )
    said: dict[str, str] = {}
    ticks: dict[str, Event] = {}
    for event in told.order_by("placed_us", "sequence"):
        for name, text in event.facts["said"]:
            said[name] = text
            if name.startswith("step "):
                ticks[name.removeprefix("step ")] = event
    return said, {key: event for key, event in ticks.items() if said[f"step {key}"]}


def _ticked(step: Step, event: Event | None, names: Mapping[str, str], zone: tzinfo) -> Ticked:
    if event is None:
        return Ticked(step)
    return Ticked(step, names.get(event.recorded_by, event.recorded_by), _told_when(event, zone))


def _told_when(event: Event, zone: tzinfo) -> str:
    """When it happened: the hour if it was told or written at once, else as the source says."""
    told_at_once = event.happened == event.recorded_at.astimezone(zone).date().isoformat()
    if told_at_once:
        return said_when(event.recorded_at.isoformat(timespec="seconds"), zone)
    return said_when(event.happened, zone)


def _state(piece: Piece, us: int) -> Known:
    placed = [one for one in ordered(piece.subject) if one.placed_us <= us]
    return fold(placed, piece.code, piece.collection.zone_info)


def gates(piece: Piece) -> tuple[Passed, ...]:
    """The gates of a piece in quarantine, or those it passed last; 6 queries at most."""
    state = from_json(piece.subject.state.detail)
    answers = {gate.name: gate for gate in state.gates}
    wanted = recovery.required(recovery.is_mislaid(state))
    rows = Event.objects.of(piece.collection)
    found = {e.sequence: e for e in rows.filter(sequence__in=[g.entry for g in state.gates])}
    behind = {name: behind_gate(piece.collection, piece.code, name) for name in wanted}
    hashes = {h for event in found.values() for h in event.facts.get("papers", ())}
    hashes |= {h for event in behind.values() if event for h in event.facts["papers"]}
    papers = by_hash(piece.collection, hashes)
    names = member_names(piece.collection)
    return tuple(
        _passed(
            key, answers.get(key), names, found, behind[key], papers, piece.collection.zone_info
        )
        for key in wanted
    )


def _passed(
    key: str,
    answer: Gate | None,
    names: Mapping[str, str],
    found: Mapping[int, Event],
    behind: Event | None,
    papers: Mapping[str, FiledPaper],
    zone: tzinfo,
) -> Passed:
    said = found.get(answer.entry) if answer else None
    hashes = [*(said or behind).facts.get("papers", ())] if said or behind else []
    filed = tuple(papers[one] for one in hashes if one in papers)
    words = recovery.GATES[key]
    if answer is None:
        return Passed(key, words, None, papers=filed, rests_on=behind)
    when = _told_when(said, zone) if said else ""
    return Passed(key, words, answer, names.get(answer.by, answer.by), when, filed, behind)


def moment_of(edtf: str, zone: tzinfo) -> datetime | None:
    """The instant meant by a date as typed for 'as it stood at': a whole day means its end."""
    if not edtf:
        return None
    exact = exact_instant(edtf, zone)
    if exact:
        return exact
    latest = PartialDate.parse(edtf).latest
    if latest is None:
        return None
    end = datetime.combine(latest, datetime.max.time(), tzinfo=zone)
    return min(end, clock.now())

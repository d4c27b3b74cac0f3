"""What stands between now and the show: holes, what is missing, faults, strings, checks."""

from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from typing import Any

from collection.bench.models import Fault
from collection.bench.sheets.queries import set_it_like_this
from collection.catalogue.models import Piece
from collection.core.drawing import Moment
from collection.core.entry import from_us
from collection.custody.freight import queries as freight
from collection.custody.freight.queries import ShipmentLine
from collection.custody.models import Place
from collection.custody.whereabouts import Whereabouts
from collection.desk.after_show import AfterShow, after_show, is_logged
from collection.desk.tonight_later import ForLater, later
from collection.ledger.models import Event, State
from collection.road.actions import STRINGS
from collection.road.candidates import may_know_private
from collection.road.day_sheet import day_line, moments
from collection.road.models import Died, RigPosition, Show
from collection.road.needs import show_today
from collection.road.plan import RigPlan, rig_of
from collection.road.rig import RigLine, state_of
from registry.access.models import Collection, Membership
from registry.access.queries import member_names

SPEAKS_AGAINST = ("open", "intermittent", "not-reproduced")
NOTES_SHOWN = 8


@dataclass(frozen=True)
class Missing:
    """A piece of the plan that was looked for and not found, with its last sighting."""

    piece: Piece
    position: RigPosition
    seen_at: datetime | None
    seen_by: str
    seen_place: str


@dataclass(frozen=True)
class Strings:
    """An instrument that gets strings today."""

    piece: Piece
    last_on: date | None
    every: int


@dataclass(frozen=True)
class Check:
    """A check of a position, not done yet today."""

    position: RigPosition
    words: str


@dataclass(frozen=True)
class Tonight:
    """The page of tonight; without a show only what comes next is set."""

    now: datetime
    show: Show | None = None
    next_show: Show | None = None
    of: int = 0
    plan: RigPlan | None = None
    missing: tuple[Missing, ...] = ()
    lost: tuple[Place, ...] = ()  # cases and trucks of the tour that were not found
    coming: tuple[ShipmentLine, ...] = ()
    faults: tuple[Fault, ...] = ()
    strings: tuple[Strings, ...] = ()
    checks: tuple[Check, ...] = ()
    notes: tuple[tuple[Event, str], ...] = ()
    after: AfterShow | None = None
    later: ForLater = field(default_factory=ForLater)
    next_day_off: date | None = None
    sees_private: bool = False

    @property
    def known(self) -> Whereabouts:
        """Places as this member may know them, for what is on the way."""
        rows = self.plan.atlas.places if self.plan else {}
        return Whereabouts(rows, self.sees_private)

    @property
    def holes(self) -> list[RigLine]:
        """Positions whose backup is missing, unusable or too far away."""
        return [line for line in self.plan.lines if line.mark != "ok"] if self.plan else []

    @property
    def before_doors(self) -> int:
        """How many things stand under 'before doors'."""
        return len(self.holes) + len(self.missing) + len(self.lost) + len(self.faults)

    @property
    def local_now(self) -> datetime:
        """Now on the venue's clock."""
        return self.now.astimezone(self.show.zone) if self.show else self.now

    @property
    def big(self) -> tuple[str, datetime] | None:
        """The next time of the evening: doors, or going on stage once the doors are open."""
        names = (("Doors", "doors"), ("On stage", "on_stage"), ("Off", "off_stage"))
        times = [(words, self.show.instant(name)) for words, name in names] if self.show else []
        known = [(words, at) for words, at in times if at is not None]
        return next((one for one in known if one[1] > self.now), known[0] if known else None)

    @property
    def left(self) -> timedelta | None:
        """How long until then; None once everything has begun."""
        return self.big[1] - self.now if self.big and self.big[1] > self.now else None

    @property
    def line(self) -> tuple[datetime, datetime] | None:
        """Start and end of the strip of the day."""
        return day_line(self.show, now=self.now) if self.show else None

    @property
    def moments(self) -> list[Moment]:
        """What happens when, for the strip of the day."""
        return moments(self.show) if self.show else []

    @property
    def to_log(self) -> bool:
        """Whether the show has begun and nobody has logged it."""
        start = self.show and self.show.instant("on_stage")
        return bool(start and start <= self.now and not is_logged(self.show))


def tonight(collection: Collection, *, now: datetime, member: Membership | None) -> Tonight:
    """The page of tonight; the same few queries whatever the size."""
    show = show_today(collection, now=now)
    coming = next_show(collection, now=now, after=show)
    if show is None:
        return Tonight(now, next_show=coming)
    plan = rig_of(collection, show.tour, now=now, member=member)
    rows = _pieces(plan)
    knows, members = may_know_private(member), member_names(collection)
    off = next_day_off(plan.atlas.shows.get(show.tour_id, []), show.on)
    return Tonight(
        now=now,
        show=show,
        next_show=coming,
        of=max(one.number for one in plan.atlas.shows.get(show.tour_id, [show])),
        plan=plan,
        coming=tuple(_coming(plan, now)),
        missing=tuple(_missing(rows, plan, knows=knows, members=members)),
        lost=tuple(show.tour.places.filter(subject__state__standing="not_found").order_by("code")),
        faults=_faults(collection, list(rows)),
        strings=tuple(_strings(plan, show)),
        checks=tuple(_checks(plan, show)),
        notes=tuple((note, members.get(note.recorded_by, "")) for note in _notes(show)),
        later=later(collection, list(rows.values()), plan.rules, today=show.on),
        after=after_show(show, now=now),
        next_day_off=off,
        sees_private=knows,
    )


def _coming(plan: RigPlan, now: datetime) -> list[ShipmentLine]:
    """What is on the way, the first expected first; two queries where there is anything."""
    found = sorted(plan.atlas.coming.values(), key=lambda one: one.expected_at)
    return freight.lines(found, now=now)


def next_show(collection: Collection, *, now: datetime, after: Show | None) -> Show | None:
    """The next show to come, of any tour."""
    day = after.on if after else now.astimezone(collection.zone_info).date()
    coming = Show.objects.of(collection).filter(on__gte=day).select_related("venue", "tour")
    others = coming.exclude(pk=after.pk if after else None)
    return others.order_by("on", "number").first()


def next_day_off(shows: list[Show], after: date) -> date:
    """The first day after a show on which the tour does not play."""
    taken = {show.on for show in shows}
    day = after + timedelta(days=1)
    while day in taken:
        day += timedelta(days=1)
    return day


def _pieces(plan: RigPlan) -> dict[int, Piece]:
    """Every piece of the plan once, those that play and those behind them."""
    both = [(line.position.piece, line.position.backup) for line in plan.lines]
    return {piece.pk: piece for pair in both for piece in pair if piece is not None}


def _missing(
    rows: dict[int, Piece], plan: RigPlan, *, knows: bool, members: dict[str, str]
) -> Iterator[Missing]:
    names = {place.code: place for place in plan.atlas.places.values()}
    for pk, piece in rows.items():
        state = state_of(piece)
        if state is None or state.standing != "not_found":
            continue
        where = next(
            line.position
            for line in plan.lines
            if pk in (line.position.piece_id, line.position.backup_id)
        )
        seen = state.detail.get("seen") or {}
        place = names.get(seen.get("place", ""))
        hidden = place is not None and plan.atlas.find(place.pk).private and not knows
        yield Missing(
            piece=piece,
            position=where,
            seen_at=from_us(seen["at_us"]) if seen else None,
            seen_by=members.get(seen.get("by", ""), ""),
            seen_place=place.name if place and not hidden else "",
        )


def _faults(collection: Collection, pieces: list[int]) -> tuple[Fault, ...]:
    found = Fault.objects.of(collection).filter(
        piece__in=pieces, subject__state__condition__in=SPEAKS_AGAINST
    )
    return tuple(found.select_related("piece__design", "subject__state").order_by("piece__code"))


def _strings(plan: RigPlan, show: Show) -> Iterator[Strings]:
    shows = plan.atlas.shows.get(show.tour_id, [])
    for line in plan.lines:
        position = line.position
        for piece in (position.piece, position.backup):
            if piece is None or not position.strings_every:
                continue
            last = _served(state_of(piece), STRINGS)
            played = sum(1 for one in shows if last and last <= one.on < show.on)
            if last is None or played >= position.strings_every:
                yield Strings(piece, last, position.strings_every)


def _checks(plan: RigPlan, show: Show) -> Iterator[Check]:
    for line in plan.lines:
        piece = line.position.piece
        for words in line.position.checks if piece else ():
            last = _served(state_of(piece), words)
            if last is None or last < show.on:
                yield Check(line.position, words)


def _served(state: State | None, what: str) -> date | None:
    day = dict(state.detail.get("serviced", ())).get(what) if state else None
    return date.fromisoformat(day) if day else None


def _notes(show: Show) -> tuple[Event, ...]:
    found = Event.objects.filter(subject=show.subject, kind="noted").order_by("-sequence")
    return tuple(found[:NOTES_SHOWN])


def show_mode(collection: Collection, *, now: datetime, member: Membership) -> dict[str, Any]:
    """Show mode: the plan with every fallback, who is silent, and the notes so far."""
    show = show_today(collection, now=now)
    if show is None:
        return {"show": None, "now": now, "next_show": next_show(collection, now=now, after=None)}
    plan = rig_of(collection, show.tour, now=now, member=member)
    deaths = Died.objects.filter(show=show).select_related("position__piece").order_by("at")
    last = {died.position_id: died for died in deaths}
    return {
        "show": show,
        "now": now,
        "local_now": now.astimezone(show.zone),
        "places": [(line, last.get(line.position.pk)) for line in plan.lines],
        "silent": [died for died in last.values() if died.sound_back_at is None],
        "notes": _notes(show),
        "sheets": set_it_like_this(_pieces(plan).values()),
    }

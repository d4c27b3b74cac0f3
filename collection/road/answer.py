"""The answer to a need, ready for a page or the console: ranked, with legs and reasons."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

from collection.catalogue.models import Piece
from collection.core import drawing
from collection.core.backup import Option, RuledOut, rank
from collection.core.moment import utc
from collection.core.transit import Leg
from collection.core.transit_rules import Rules
from collection.core.wording import day as worded
from collection.core.wording import duration
from collection.road.candidates import Known, known, last_good_day
from collection.road.figures import rules_of
from collection.road.models import OutsideCandidate, RigPosition, Tour
from collection.road.needs import Asked, asked, positions_of, read_by, tour_on
from collection.road.rig import STANDS, STEPS, accepted_step
from collection.road.sites import Atlas, atlas
from registry.access.models import Collection, Membership

CLOSENESS = {
    1: "its twin, set up alike",
    2: "same design and circuit",
    3: "same design, another circuit",
    4: "circuit declared close",
    5: "another design, on the artist’s list",
    6: "anything of the kind, not the same",
}
LISTED = {0: "accepted by the artist", 1: "for an emergency", 2: ""}
DRAWN = {
    "pack": "carry", "road": "road", "hand-in": "wait", "flight": "air", "hand-out": "wait",
    "sea": "sea", "border": "border", "warm-up": "warm", "check": "warm",
}  # fmt: skip


@dataclass(frozen=True)
class Line:
    """One option with what a page says of it."""

    option: Option
    known: Known
    rules: Rules
    strip_end: datetime

    @property
    def code(self) -> str:
        return self.option.code

    @property
    def own(self) -> Piece | None:
        """The piece, None for what somebody outside holds."""
        return self.known.row if isinstance(self.known.row, Piece) else None

    @property
    def outside(self) -> OutsideCandidate | None:
        """What somebody outside holds, None for an own piece."""
        return None if self.own else self.known.row

    @property
    def name(self) -> str:
        return name_of(self.known)

    @property
    def stands(self) -> str:
        return STANDS[self.option.stands]

    @property
    def step(self) -> int:
        """The box of five in which it stands once it has come: side of stage at the latest."""
        return min(STEPS[self.option.stands], STEPS["side"])

    @property
    def closeness(self) -> str:
        return CLOSENESS[self.option.closeness]

    @property
    def listed(self) -> str:
        return LISTED[self.option.listed]

    @property
    def estimate(self) -> bool:
        """Whether its way rests on a length nobody has confirmed."""
        return self.option.basis == "estimate"

    @property
    def late_by(self) -> timedelta | None:
        """How late it is, None in time."""
        return None if self.option.in_time else -self.option.margin

    @property
    def spare(self) -> str:
        """The time to spare, or how late it is, in words."""
        seconds = abs(self.option.margin.total_seconds())
        return f"{duration(seconds)} {'to spare' if self.option.in_time else 'late'}"

    @property
    def call_alone(self) -> bool:
        """Whether only a confirmation by telephone speaks for it."""
        return self.option.days_fresh is None

    @property
    def another_day(self) -> bool:
        """Whether it sounds on another day than it has to be ready."""
        zone = self.option.sounds_at.tzinfo
        return (
            self.option.sounds_at.date()
            != self.option.question.need.ready_by.astimezone(zone).date()
        )

    @property
    def evidence(self) -> str:
        """What shows that it works."""
        good = [e for e in self.option.candidate.evidence if not e.voided_by]
        if not good:
            return "nothing on record, only the call"
        best = max(good, key=lambda e: e.on)
        said = f"{best.level.replace('-', ' ')} {worded(best.on, today=None)}"
        until = last_good_day(self.option.candidate, self.rules)
        return f"{said}, aged out on {worded(until, today=None)}" if self.option.stale else said

    @property
    def legs(self) -> tuple[Leg, ...]:
        return self.option.legs

    @property
    def strip(self) -> list[drawing.Leg]:
        """The legs as they are drawn, with the waits between them."""
        return strip_of(self.legs, start=self.option.question.need.now)

    @property
    def phone(self) -> str:
        return self.outside.phone if self.outside else ""

    @property
    def told_by(self) -> str:
        """Who confirmed or quoted the way last, for the page."""
        return next((q.told_by for q in self.known.quotes if q.told_by), "")


@dataclass(frozen=True)
class Shut:
    """A candidate that may not stand in, with all reasons."""

    out: RuledOut
    known: Known

    @property
    def code(self) -> str:
        return self.out.code

    @property
    def name(self) -> str:
        return name_of(self.known)

    @property
    def reasons(self) -> tuple[str, ...]:
        return self.out.reasons

    @property
    def more(self) -> int:
        """How many reasons there are beyond the first."""
        return len(self.reasons) - 1

    @property
    def outside(self) -> OutsideCandidate | None:
        return None if isinstance(self.known.row, Piece) else self.known.row


@dataclass(frozen=True)
class Answer:
    """Everything the backup page and the command say."""

    asked: Asked
    options: tuple[Line, ...]
    ruled_out: tuple[Shut, ...]
    strip_end: datetime
    known: Mapping[str, Known]
    rules: Rules

    @property
    def local_now(self) -> datetime:
        """Now on the clock of the place."""
        return self.asked.need.now.astimezone(self.asked.zone)

    @property
    def ready_by(self) -> datetime:
        """When it has to sound, on the clock of the place."""
        return self.asked.need.ready_by.astimezone(self.asked.zone)

    @property
    def ready_by_typed(self) -> str:
        """When it has to sound, as a field of a form takes it."""
        return f"{self.ready_by:%Y-%m-%dT%H:%M}"

    @property
    def left_clock(self) -> str:
        """The time left as hours and minutes, days said apart."""
        minutes = int(self.left.total_seconds() // 60)
        days, rest = divmod(minutes, 24 * 60)
        return f"{days} d {rest // 60} h" if days else f"{rest // 60}:{rest % 60:02d}"

    @property
    def limits(self) -> list[datetime]:
        """The instants the strips are held against: ready by, then going on stage."""
        show = self.asked.show
        stage = show.instant("on_stage") if show else None
        return [self.ready_by] + ([stage] if stage and stage > self.ready_by else [])

    @property
    def accepted_step(self) -> int | None:
        """The farthest box within the outage the artist accepts."""
        return accepted_step(self.asked.need.outage_minutes, self.rules)

    def order_words(self, code: str) -> str:
        """What the order says if nobody writes it otherwise."""
        said = f"{code} {name_of(self.known[code])} stands in at {self.asked.need.at.name}"
        line = next((line for line in self.options if line.code == code), None)
        return f"{said}, to sound {line.option.sounds_at:%a %H:%M}" if line else said

    @property
    def first(self) -> Line | None:
        """The best that is in time, if any."""
        return next((line for line in self.options[:1] if line.option.in_time), None)

    @property
    def same_kind_out(self) -> list[Shut]:
        """What is ruled out although it is of the kind that is needed."""
        return [s for s in self.ruled_out if s.known.candidate.kind == self.asked.need.kind]

    @property
    def other_kind_out(self) -> list[Shut]:
        """What is of another kind; a page says it in one line that opens."""
        return [s for s in self.ruled_out if s.known.candidate.kind != self.asked.need.kind]

    @property
    def others(self) -> tuple[Line, ...]:
        return self.options[1:] if self.first else self.options

    @property
    def left(self) -> timedelta:
        """Time left before it has to be ready; nothing once that has passed."""
        need = self.asked.need
        return max(utc(need.ready_by) - utc(need.now), timedelta())


def name_of(found: Known) -> str:
    """What a candidate is called, with its circuit where it has one."""
    row = found.row
    if isinstance(row, OutsideCandidate):
        return row.name
    return f"{row.called}, {row.circuit}" if row.circuit else row.called


def strip_of(legs: Sequence[Leg], *, start: datetime) -> list[drawing.Leg]:
    """Core legs as the strip draws them; a gap between two is a wait."""
    drawn: list[drawing.Leg] = []
    clock = utc(start)
    for leg in legs:
        if (gap := (utc(leg.starts_at) - clock).total_seconds() / 60) > 0:
            drawn.append(drawing.Leg("wait", gap, False))
        minutes = leg.length.total_seconds() / 60
        drawn.append(drawing.Leg(DRAWN[leg.what], minutes, leg.basis == "estimate"))
        clock = utc(leg.ends_at)
    return drawn


def find(
    collection: Collection,
    *,
    member: Membership | None,
    now: datetime,
    piece: Piece | None = None,
    position: RigPosition | None = None,
    by: str = "",
) -> Answer:
    """The ranked backups for a piece or a position; the same few queries whatever the size.

    `member` None is the console of the machine. Raises NoNeed.
    """
    until = read_by(by, collection.zone_info)
    tour = position.tour if position else _tour(collection, max(now, until or now))
    places = atlas(collection, at=now, until=until, tour=tour)
    positions = positions_of(tour)
    if position is not None:
        position = next(p for p in positions if p.pk == position.pk)
    want = asked(places, tour=tour, piece=piece, position=position, positions=positions, by=by)
    return _answer(want, places, rules_of(collection), member=member, positions=positions)


def _tour(collection: Collection, moment: datetime) -> Tour | None:
    return tour_on(collection, today=moment.astimezone(collection.zone_info).date())


def _answer(
    want: Asked,
    places: Atlas,
    rules: Rules,
    *,
    member: Membership | None,
    positions: list[RigPosition],
) -> Answer:
    found = known(want, places, rules, member=member, positions=positions)
    ranking = rank(want.need, [one.candidate for one in found.values()], rules)
    end = _strip_end(want)
    return Answer(
        asked=want,
        options=tuple(Line(o, found[o.code], rules, end) for o in ranking.options),
        ruled_out=tuple(
            Shut(out, found[out.code]) for out in ranking.ruled_out() if out.code != want.need.code
        ),
        strip_end=end,
        known=found,
        rules=rules,
    )


def _strip_end(want: Asked) -> datetime:
    """The strip shows the time that is left and half as much again, two hours at least."""
    now, until = utc(want.need.now), utc(want.need.ready_by)
    length = max((until - now) * 1.5, timedelta(hours=2))
    return (now + length).astimezone(want.zone)


def to_json(answer: Answer) -> dict[str, Any]:
    """The answer as the command prints it; times in the zone of the place."""
    want = answer.asked
    return {
        "need": _need(want),
        "options": [_option(line, want) for line in answer.options],
        "ruled_out": [{"code": s.code, "reasons": list(s.reasons)} for s in answer.ruled_out],
    }


def _need(want: Asked) -> dict[str, Any]:
    need = want.need
    return {
        "code": need.code,
        "position": str(want.position) if want.position else None,
        "kind": need.kind,
        "design": need.design,
        "circuit": need.circuit,
        "at": need.at.name,
        "show": want.show.code if want.show else None,
        "ready_by": _local(need.ready_by, want),
        "now": _local(need.now, want),
        "outage_minutes": need.outage_minutes,
    }


def _option(line: Line, want: Asked) -> dict[str, Any]:
    option = line.option
    return {
        "code": option.code,
        "rank": option.rank,
        "closeness": option.closeness,
        "listed": option.listed,
        "stands": option.stands,
        "in_time": option.in_time,
        "sounds_at": _local(option.sounds_at, want),
        "margin_minutes": int(option.margin.total_seconds() // 60),
        "basis": option.basis,
        "stale": option.stale,
        "legs": [
            {
                "what": leg.what,
                "starts_at": leg.starts_at.isoformat(timespec="seconds"),
                "ends_at": leg.ends_at.isoformat(timespec="seconds"),
                "basis": leg.basis,
                "note": leg.note,
            }
            for leg in option.legs
        ],
    }


def _local(moment: datetime, want: Asked) -> str:
    return moment.astimezone(want.zone).isoformat(timespec="seconds")

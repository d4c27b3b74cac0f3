"""The answer to a need, ready for a page or the console: ranked, with legs and reasons."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta

from collection.catalogue.models import Piece
from collection.core.backup import rank
from collection.core.moment import utc
from collection.core.transit_rules import Rules
from collection.road.answer_lines import Line, Shut, name_of
from collection.road.candidates import Known, known
from collection.road.figures import rules_of
from collection.road.models import RigPosition, Tour
from collection.road.needs import Asked, asked, positions_of, read_by, show_asked, tour_on
from collection.road.overrides.queries import apply
from collection.road.rig import accepted_step
from collection.road.sites import Atlas, atlas
from collection.road.taken import Taken, about, sounding, taken_for
from registry.access.models import Collection, Membership


@dataclass(frozen=True)
class Answer:
    """Everything the backup page and the command say."""

    asked: Asked
    options: tuple[Line, ...]
    ruled_out: tuple[Shut, ...]
    strip_end: datetime
    known: Mapping[str, Known]
    rules: Rules
    taken: Taken | None = None

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
        return f"{said}, {sounding(line.option.sounds_at)}" if line else said

    @property
    def taken_row(self) -> Known | None:
        """What was taken, where it is still on the list."""
        return self.known.get(self.taken.code) if self.taken else None

    @property
    def taken_phone(self) -> str:
        """The number to ring about what was taken, where somebody outside sends it."""
        return getattr(self.taken_row.row, "phone", "") if self.taken_row else ""

    @property
    def taken_name(self) -> str:
        """What the thing that was taken is called; '' when it is no longer on the list."""
        return name_of(self.taken_row) if self.taken_row else ""

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
    positions = apply(positions_of(tour), show_asked(places, tour, by)[0])
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
        taken=_taken(want, places),
    )


def _taken(want: Asked, places: Atlas) -> Taken | None:
    said = about(want.position, want.piece.code)
    found = taken_for(places.collection, [said], now=want.need.now, zone=want.zone)
    return found.get(said)


def _strip_end(want: Asked) -> datetime:
    """The strip shows the time that is left and half as much again, two hours at least."""
    now, until = utc(want.need.now), utc(want.need.ready_by)
    length = max((until - now) * 1.5, timedelta(hours=2))
    return (now + length).astimezone(want.zone)

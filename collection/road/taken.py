"""What has been taken as a backup today, read back from the book."""

import re
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

from collection.ledger.models import Event
from collection.ledger.queries import events, superseded
from registry.access.models import Collection
from registry.access.queries import member_names

NIGHT_ENDS = timedelta(hours=6)  # what is taken after midnight is still of the evening before
_SOUNDS = re.compile(r"\bto sound (Mon|Tue|Wed|Thu|Fri|Sat|Sun) (\d\d):(\d\d)\b")
_OUTSIDE = re.compile(r"OUT-\d+\b")


@dataclass(frozen=True)
class Taken:
    """A backup that was settled on: the entry, who wrote it, what comes and when it sounds."""

    event: Event
    zone: ZoneInfo
    now: datetime
    who: str = ""

    @property
    def code(self) -> str:
        """What was taken, as far as the order says."""
        outside = _OUTSIDE.match(self.event.words)
        return outside[0] if outside else self.own

    @property
    def own(self) -> str:
        """The code of an own piece; '' when the note stands with the piece that failed."""
        return "" if _OUTSIDE.match(self.event.words) else self.event.subject.code

    @property
    def sounds_at(self) -> datetime | None:
        """When the order says it sounds, on the clock of the place; None when it does not say."""
        said = _SOUNDS.search(self.event.words)
        if said is None:
            return None
        written = self.event.recorded_at.astimezone(self.zone)
        days = (_weekday(said[1]) - written.weekday()) % 7
        hour, minute = int(said[2]), int(said[3])
        at = written.replace(hour=hour, minute=minute, second=0, microsecond=0)
        return at + timedelta(days=days)

    @property
    def coming(self) -> bool:
        """Whether it has not sounded yet, as far as the order says."""
        return self.sounds_at is None or self.sounds_at > self.now


def sounding(moment: datetime) -> str:
    """When it sounds, as an order says it and `Taken` reads it."""
    return f"to sound {moment:%a %H:%M}"


def _weekday(short: str) -> int:
    names = [f"{date(2024, 1, day):%a}" for day in range(1, 8)]  # 1 January 2024 was a Monday
    return names.index(short)


def taken_for(
    collection: Collection, about: Iterable[str], *, now: datetime, zone: ZoneInfo
) -> dict[str, Taken]:
    """The newest that was taken since this morning, by what it is for; 1 query, 2 with any."""
    morning = (now.astimezone(zone) - NIGHT_ENDS).replace(hour=6, minute=0, second=0, microsecond=0)
    rows = events(collection).filter(
        ~superseded(), kind="noted", facts__about__in=list(about), recorded_at__gte=morning
    )
    found = {event.facts["about"]: event for event in rows.order_by("sequence")}
    names = member_names(collection) if found else {}
    return {
        said: Taken(event, zone, now, names.get(event.recorded_by, event.recorded_by))
        for said, event in found.items()
    }


def about(position: object, piece_code: str) -> str:
    """What a note of a choice is about, as `choose_backup` writes it."""
    return f"backup of position {position}" if position else f"backup of {piece_code}"

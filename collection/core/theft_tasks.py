"""What is done after a theft, side by side, and by when.

Order: police first, since every other call is asked for their number; then what is lost within
hours or days. Source of the order: published advice on theft reports (number and officer first,
list with serials next, insurer with the number, then shops and repairers). The figures are house
rules unless a source stands beside them; none of this is legal advice.
"""

from __future__ import annotations

import calendar
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta

# European Data Protection Board, Guidelines 3/2019 on video devices: keeping pictures beyond 72
# hours needs an argument of its own, so many systems write over them by then. From memory.
CAMERA_HOURS = 72
AT_ONCE = timedelta(hours=1)
SAME_DAY = timedelta(hours=12)
NEXT_DAY = timedelta(hours=24)


@dataclass(frozen=True)
class Told:
    """A shop that is told: its code, name, kind, and where it lies in words."""

    code: str
    name: str
    kind: str
    lies: str


@dataclass(frozen=True)
class Scene:
    """A theft as its tasks hang on it; instants are aware.

    `camera_hours`: how long the cameras there are kept. `notify_by`: the last moment for telling
    the insurer by the policy, None while nobody has looked. `abroad`: outside the collection's own
    country. `carnet`: the pieces travel on one.
    """

    found_gone: datetime
    camera_hours: int = CAMERA_HOURS
    notify_by: datetime | None = None
    notify_because: str = ""
    abroad: bool = False
    carnet: bool = False
    shops: tuple[Told, ...] = ()


@dataclass(frozen=True)
class Planned:
    """A task: `party` is a shop's code or ''; `due_at` is None where a person must look it up."""

    key: str
    what: str
    hint: str
    due_at: datetime | None
    because: str
    party: str = ""


def planned(scene: Scene) -> tuple[Planned, ...]:
    """Every task of a theft: what is done there, papers, shops in their order, a year on."""
    shops = tuple(_shop(scene, shop) for shop in scene.shops)
    return (*_there(scene), *_papers(scene), *shops, _a_year_on(scene))


def _there(scene: Scene) -> tuple[Planned, ...]:
    gone = scene.found_gone
    return (
        Planned(
            "police", "Police: report by telephone", "Ask for the number, the officer, the way to "
            "add pieces, how to get a copy.", gone + AT_ONCE, "at once",
        ),
        Planned(
            "venue", "Venue: doors, who has keys, who was let in", "Their own report too.",
            gone + AT_ONCE, "while everybody is still there",
        ),
        Planned(
            "cameras", "Cameras: ask in writing that the pictures are kept",
            f"Kept {scene.camera_hours} hours, as far as anybody said; ask when exactly they go.",
            gone + timedelta(hours=scene.camera_hours),
            f"written over after {scene.camera_hours} hours",
        ),
        Planned(
            "truck", "Truck: opened once, counted, sealed", "Write the number of the seal.",
            gone + SAME_DAY, "before it leaves",
        ),
    )  # fmt: skip


def _papers(scene: Scene) -> Iterable[Planned]:
    by = scene.notify_by
    yield Planned(
        "insurer", "Insurer: told in writing, with the police reference or 'pending'",
        "The policy says by when and how.", by,
        scene.notify_because or ("" if by else "look up the policy's notice time"),
    )  # fmt: skip
    if scene.abroad:
        yield Planned(
            "customs", "Customs where it happened", "Ask what they want for goods that do not "
            "leave again: usually the police report.", scene.found_gone + NEXT_DAY,
            "before the border",
        )  # fmt: skip
    if scene.carnet:
        yield Planned(
            "carnet", "Issuer of the carnet: told which numbers of the list are gone",
            "What is not brought home may be claimed as duty.", scene.found_gone + NEXT_DAY,
            "before the border",
        )  # fmt: skip


def _shop(scene: Scene, shop: Told) -> Planned:
    return Planned(
        "shop", f"{shop.name}, {shop.kind}: notice sent, somebody spoken to", shop.lies,
        scene.found_gone + NEXT_DAY, "the day after", shop.code,
    )  # fmt: skip


def _a_year_on(scene: Scene) -> Planned:
    # Wisconsin Department of Justice, TIME system manual: an entry of a stolen article is kept for
    # the month of entry and a year; other countries keep them otherwise.
    return Planned(
        "year", "Ask the officer whether the entry still stands", "Some indexes drop it by then.",
        a_year_later(scene.found_gone), "entries may run out after twelve months",
    )  # fmt: skip


def a_year_later(day: datetime) -> datetime:
    """The same day of the next year; 28 February after a leap day.

    >>> a_year_later(datetime(2024, 2, 29)).date().isoformat()
    '2025-02-28'
    """
    last = calendar.monthrange(day.year + 1, day.month)[1]
    return day.replace(year=day.year + 1, day=min(day.day, last))


def overdue(due_at: datetime | None, *, done: bool, now: datetime) -> bool:
    """Whether a task is late: its moment has passed and nobody has done it."""
    return due_at is not None and not done and now > due_at

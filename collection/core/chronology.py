"""The order of happening: where each entry stands in time, corrections included.

Corrections form lines: `corrects` names the newest entry of its line. The last entry of a line
is the effective one; among equals it keeps the place of the line's first entry. House rule.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import datetime, time, timedelta, tzinfo

from collection.core.entry import UNKNOWN_US, Entry, Placed, to_us
from collection.core.partial_date import PartialDate


class InTheFuture(ValueError):
    """The earliest reading of a date lies after now."""


def exact_instant(happened: str, zone: tzinfo) -> datetime | None:
    """The instant of a date written with a time of day, else None; no suffix means local time."""
    if "T" not in happened or "/" in happened:
        return None
    text = happened
    if len(text) > 19 and text[-3] in "+-" and ":" not in text[-3:]:
        text += ":00"
    moment = datetime.fromisoformat(text)
    return moment if moment.tzinfo else moment.replace(tzinfo=zone)


def placed_us(happened: str, *, recorded_at: datetime, zone: tzinfo) -> int:
    """Microseconds at which an entry stands, UNKNOWN_US for 'before everything'.

    (1) an exact time if given; (2) the moment it was first recorded, if its date is at most one
    day wide and holds that moment in `zone`; (3) else its earliest instant; (4) before everything.
    """
    if not happened:
        return UNKNOWN_US
    exact = exact_instant(happened, zone)
    if exact is not None:
        return to_us(exact)
    when = PartialDate.parse(happened)
    if when.earliest is None:
        return UNKNOWN_US
    if when.earliest == when.latest == recorded_at.astimezone(zone).date():
        return to_us(recorded_at)
    midnight = datetime.combine(when.earliest, time(), tzinfo=zone)
    try:
        return max(0, to_us(midnight))
    except OverflowError:
        return 0


def refuse_future(happened: str, *, now: datetime, zone: tzinfo) -> None:
    """Raise InTheFuture when the earliest reading of a date lies after now.

    An exact time may run five minutes ahead: phones and servers disagree.
    """
    if not happened:
        return
    exact = exact_instant(happened, zone)
    if exact is not None:
        if exact > now + timedelta(minutes=5):
            raise InTheFuture(f"{happened} has not come yet; what happened lies in the past")
        return
    earliest = PartialDate.parse(happened).earliest
    if earliest is not None and earliest > now.astimezone(zone).date():
        raise InTheFuture(f"{happened} has not come yet; what happened lies in the past")


def in_order(
    entries: Iterable[Entry], *, zone: tzinfo, answered_us: Mapping[int, int] | None = None
) -> list[Placed]:
    """Effective entries in order of happening; withdrawn lines are left out.

    `entries`: every entry of the lines concerned. `answered_us`: places of answered entries that
    are not among them. An answering entry stands no earlier than what it answers.
    """
    lines = _lines(entries)
    places = dict(answered_us or {})
    own: dict[int, Placed] = {}
    for first, line in lines.items():
        at = placed_us(line[-1].happened, recorded_at=line[0].recorded_at, zone=zone)
        own[first] = Placed(line[-1], first, at)
        for entry in line:
            places[entry.number] = at
    first_of = {entry.number: first for first, line in lines.items() for entry in line}
    for first in sorted(own):
        placed = own[first]
        answers = placed.entry.answers
        if answers is not None and places.get(answers, UNKNOWN_US) > placed.placed_us:
            own[first] = Placed(placed.entry, first, places[answers])
            places.update({e.number: places[answers] for e in lines[first_of[first]]})
    kept = [p for p in own.values() if p.entry.kind != "withdrawn"]
    return sorted(kept, key=lambda p: (p.placed_us, p.first_number))


def _lines(entries: Iterable[Entry]) -> dict[int, list[Entry]]:
    lines: dict[int, list[Entry]] = {}
    first_of: dict[int, int] = {}
    for entry in sorted(entries, key=lambda e: e.number):
        first = entry.number if entry.corrects is None else first_of.get(entry.corrects)
        if first is None:
            first = entry.number
        first_of[entry.number] = first
        lines.setdefault(first, []).append(entry)
    return lines

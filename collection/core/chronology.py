"""The order of happening: where each entry stands in time, corrections included.

Corrections form lines: `corrects` names the newest entry of its line. The last entry of a line
is the effective one; among equals it keeps the place of the line's first entry. House rule.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date, datetime, time, timedelta, tzinfo

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
    return _midnight_us(when.earliest, zone)


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
    placed = places(entries, zone=zone, answered_us=answered_us)
    kept = [p for p in placed if p.entry.kind != "withdrawn"]
    return sorted(kept, key=lambda p: (p.placed_us, p.first_number))


def places(
    entries: Iterable[Entry], *, zone: tzinfo, answered_us: Mapping[int, int] | None = None
) -> list[Placed]:
    """The last entry of every line in its place, withdrawn ones too; arguments as `in_order`."""
    lines = _lines(entries)
    at_us = dict(answered_us or {})
    own: dict[int, Placed] = {}
    for first, line in lines.items():
        at = placed_us(line[-1].happened, recorded_at=line[0].recorded_at, zone=zone)
        own[first] = Placed(line[-1], first, at)
        at_us.update({entry.number: at for entry in line})
    for first in sorted(own):
        entry, at = own[first].entry, own[first].placed_us
        held_back = UNKNOWN_US if entry.answers is None else at_us.get(entry.answers, UNKNOWN_US)
        if held_back > at:
            own[first] = Placed(entry, first, held_back)
            at_us.update({e.number: held_back for e in lines[first]})
    return list(own.values())


def unclear_rivals(ordered: Iterable[Placed], winner: Placed, zone: tzinfo) -> tuple[Placed, ...]:
    """Entries that may have happened after the winner and say something else.

    `ordered`: the effective entries of one chain (place, title or custody); `winner`: the one the
    state follows. A rival differs in kind or facts, and its window reaches past the winner's
    start: which of the two came later is not known. House rule.
    """
    return tuple(
        placed
        for placed in ordered
        if placed.first_number != winner.first_number
        and _differs(placed.entry, winner.entry)
        and _reach_us(placed, zone) > winner.placed_us
    )


def _differs(one: Entry, other: Entry) -> bool:
    return (one.kind, dict(one.facts)) != (other.kind, dict(other.facts))


def _reach_us(placed: Placed, zone: tzinfo) -> int:
    """The last moment an entry may have happened: never after it was written down."""
    happened, recorded_us = placed.entry.happened, to_us(placed.entry.recorded_at)
    if not happened:
        return recorded_us
    if exact_instant(happened, zone) is not None:
        return placed.placed_us
    when = PartialDate.parse(happened)
    if when.latest is None or when.latest >= placed.entry.recorded_at.astimezone(zone).date():
        end_us = recorded_us
    else:
        end_us = _midnight_us(when.latest + timedelta(days=1), zone)
    day = when.earliest if when.earliest == when.latest else None
    if day is not None and placed.placed_us != _midnight_us(day, zone):
        # written down on the day itself, or held back by what it answers: that moment is known
        return placed.placed_us
    return max(end_us, placed.placed_us)


def _midnight_us(day: date, zone: tzinfo) -> int:
    try:
        return max(0, to_us(datetime.combine(day, time(), tzinfo=zone)))
    except OverflowError:
        return 0


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

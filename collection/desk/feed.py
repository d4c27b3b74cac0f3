"""The calendar feed: shows as they are timed, due work on the next day off; nothing private.

Standard: RFC 5545 (iCalendar, 2009): a VCALENDAR has PRODID and VERSION, a VEVENT has UID,
DTSTAMP and DTSTART; DTEND of a day is the day after; lines end in CRLF and fold at 75 octets.
RFC 7986 (2016) for the calendar's name and how often to ask.
"""

from collections import defaultdict
from datetime import UTC, date, datetime, timedelta

from collection.bench.due.queries import DueLine
from collection.desk import due as queries
from collection.road.models import Show
from registry.access.models import Collection

CONTENT_TYPE = "text/calendar; charset=utf-8"
ASK_EVERY = timedelta(hours=6)
PAST = timedelta(days=60)  # shows shown that are over
USUAL_LENGTH = timedelta(hours=3)  # of an evening whose end no day sheet says


def calendar(collection: Collection, *, now: datetime) -> bytes:
    """The feed of a collection at a moment, as the bytes of one VCALENDAR."""
    from icalendar import Calendar

    today = now.astimezone(collection.zone_info).date()
    feed = Calendar()
    feed.add("prodid", "-//gear register//calendar of shows and due work//EN")
    feed.add("version", "2.0")
    feed.add("calscale", "GREGORIAN")
    feed.add("name", f"{collection.name}: gear")
    feed.add("refresh-interval", ASK_EVERY, parameters={"VALUE": "DURATION"})
    for show in _shows(collection, since=today - PAST):
        feed.add_component(_show(show, now=now))
    board = queries.board(collection, today=today)
    for day, lines in _by_day(board).items():
        feed.add_component(_work(collection, day, lines, now=now))
    return feed.to_ical()


def _shows(collection: Collection, *, since: date) -> list[Show]:
    rows = Show.objects.of(collection).filter(on__gte=since)
    return list(rows.select_related("venue", "tour", "collection").order_by("on", "number"))


def _show(show: Show, *, now: datetime):
    from icalendar import Event

    event = _event(Event(), f"show-{show.code}", show.collection, now)
    event.add("summary", f"Show {show.number}, {show.venue.town or show.venue.name}")
    event.add("location", ", ".join(filter(None, (show.venue.name, show.venue.town))))
    start = show.instant("load_in") or show.instant("line_check") or show.instant("on_stage")
    end = show.instant("off_stage")
    if start is None:
        return _whole_day(event, show.on)
    event.add("dtstart", start.astimezone(UTC))
    event.add("dtend", (end if end and end > start else start + USUAL_LENGTH).astimezone(UTC))
    event.add("description", _day_sheet(show))
    return event


def _day_sheet(show: Show) -> str:
    times = (("Load-in", show.load_in), ("Line check", show.line_check), ("Doors", show.doors),
             ("On stage", show.on_stage), ("Off", show.off_stage))  # fmt: skip
    return "\n".join(f"{words} {at:%H:%M}" for words, at in times if at)


def _by_day(board: queries.Board) -> dict[date, list[DueLine]]:
    days: dict[date, list[DueLine]] = defaultdict(list)
    for day, lines in (
        (board.slots.day_off, board.by_day_off),
        (board.slots.bench, board.by_bench),
    ):
        if lines:
            days[day] += lines
    return days


def _work(collection: Collection, day: date, lines: list[DueLine], *, now: datetime):
    from icalendar import Event

    event = _event(Event(), f"due-{day:%Y%m%d}", collection, now)
    things = "thing" if len(lines) == 1 else "things"
    event.add("summary", f"Bench: {len(lines)} {things} due")
    event.add("description", "\n".join(_said(one) for one in lines))
    event.add("transp", "TRANSPARENT")
    return _whole_day(event, day)


def _said(line: DueLine) -> str:
    return f"{line.piece.code} {line.piece.called}: {line.plan.what} ({line.due.words})"


def _event(event, name: str, collection: Collection, now: datetime):
    # RFC 7986, 5.3: a UID holds nothing that says whose machine made it.
    event.add("uid", f"{name}.{collection.book[:16]}")
    event.add("dtstamp", now.astimezone(UTC))
    return event


def _whole_day(event, day: date):
    event.add("dtstart", day)
    event.add("dtend", day + timedelta(days=1))
    return event

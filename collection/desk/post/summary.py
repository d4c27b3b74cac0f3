"""The letters' words: the week's summary, and a reminder of what is late at a repairer.

Nothing private goes out by mail: no values, no places, no names of people.
"""

from collections import Counter
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta

from collection.bench.jobs.queries import all_jobs
from collection.custody.loans.queries import all_loans
from collection.desk.due import board
from collection.papers.theft.queries import late_tasks
from collection.stock import queries as stock
from collection.stock.bookings import planned
from collection.stock.pages import all_types
from collection.stock.sheet import Card
from registry.access.models import Collection

LISTED = 12
KEY_WORDS = {
    "police": "police", "venue": "venue", "cameras": "pictures of the cameras", "truck": "truck",
    "insurer": "insurer", "customs": "customs", "carnet": "issuer of the carnet",
    "shop": "shops not told", "year": "whether the entry still stands",
}  # fmt: skip


@dataclass(frozen=True)
class Written:
    """A letter before it is addressed; `key` says what it is about."""

    key: str
    subject: str
    body: str


def week_of(today: date) -> str:
    """The ISO week that a summary is of: one letter a week, whenever the command runs."""
    year, week, _ = today.isocalendar()
    return f"{year}-W{week:02}"


def weekly(collection: Collection, *, today: date) -> Written | None:
    """What the stock and the bench have to say this week; None where there is nothing at all."""
    bookings = planned(collection, today)
    seen = all_types(stock.shelf(collection), today=today, bookings=bookings)
    parts = [
        _section("Below the line", [said for card in seen["alarms"] for said in card.alarms]),
        _section("Which stock ends first", _first(seen["cards"], seen["first"])),
        _section("Tours a stock endangers", _endangered(seen["cards"])),
        _section("Due by the next day off", _due(collection, today)),
        _section("Overdue loans", _overdue(collection, today)),
        _section("Theft files, overdue", _thefts(collection, today)),
    ]
    said = [part for part in parts if part]
    if not said:
        return None
    week = week_of(today)
    alarms = sum(len(card.alarms) for card in seen["alarms"])
    subject = f"{collection.name}: week {week[-2:]}"
    subject += f", {alarms} below the line" if alarms else ""
    tail = "Figures move with every show that is logged; the stock page says how they came."
    return Written(f"weekly {week}", subject, "\n\n".join([*said, tail]) + "\n")


def _section(title: str, lines: list[str]) -> str:
    shown = [f"- {line}" for line in lines[:LISTED]]
    more = [f"- and {len(lines) - LISTED} more"] if len(lines) > LISTED else []
    return "\n".join([title, *shown, *more]) if lines else ""


def _first(cards: list[Card], first: Card | None) -> list[str]:
    """The first three to end; where none has a forecast, the reasons of the first."""
    if first is None:
        return list(cards[0].refusals[:3]) if cards else []
    known = [card for card in cards if card.runs][:3]
    return [f"{card.stock.name}: {card.runs[0].said}, even chance {card.runs[0].even_said}"
            for card in known]  # fmt: skip


def _endangered(cards: list[Card]) -> list[str]:
    return [
        f"{one.booking.name}, to {one.booking.last_on:%-d %B %Y}: {card.stock.name} lasts to the "
        f"last show with a chance of {one.said} in 100"
        for card in cards
        for one in card.tours
        if one.endangered
    ]


def _due(collection: Collection, today: date) -> list[str]:
    lines = board(collection, today=today).by_day_off
    return [f"{one.piece.code} {one.plan.what}: {one.due.words}" for one in lines]


def _overdue(collection: Collection, today: date) -> list[str]:
    return [
        f"{line.loan.code}: {', '.join(row.piece.code for row in line.out)}, until "
        f"{line.loan.ends_on:%-d %B %Y}, {line.overdue_days} days ago"
        for line in all_loans(collection, today=today).overdue
    ]


def _thefts(collection: Collection, today: date) -> list[str]:
    """Tasks of theft files by what they are: no shop, no place, no name goes out by mail."""
    late = Counter(
        (task.incident.code, KEY_WORDS.get(task.key, "another task"))
        for task in late_tasks(collection, now=_end(collection, today))
    )
    return [f"{code}: {said}{f' ({n})' if n > 1 else ''}" for (code, said), n in late.items()]


def _end(collection: Collection, today: date) -> datetime:
    """Midnight in front of the day: what is due on the day itself is not late yet."""
    return datetime.combine(today, time.min, tzinfo=collection.zone_info)


def _a_year_on(collection: Collection, today: date) -> list[Written]:
    """One letter an incident whose entry with the police may run out."""
    rows = late_tasks(collection, now=_end(collection, today) + timedelta(days=1))
    return [
        Written(
            f"entry {task.incident.code}",
            f"{collection.name}: ask whether the entry of {task.incident.code} still stands",
            "Twelve months have passed. Ask the officer whether the pieces are still searched "
            "for, and file the answer with the task.\n",
        )
        for task in rows
        if task.key == "year"
    ]


def reminders(collection: Collection, *, today: date) -> list[Written]:
    """One letter a job that is past its day, and an incident a year on."""
    away, _ = all_jobs(collection, today=today)
    return _a_year_on(collection, today) + [
        Written(
            f"overdue {line.job.code}",
            f"{collection.name}: job {line.job.code} is overdue",
            f"Promised for {line.job.due_on:%-d %B %Y}, {line.overdue_days} days ago; it is still "
            "away. The page of jobs has what was said so far.\n",
        )
        for line in away
        if line.overdue_days
    ]

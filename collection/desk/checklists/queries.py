"""The two lists of a tour with what is ticked on them."""

from collections.abc import Callable
from dataclasses import replace
from datetime import date

from collection.desk.checklists import after, before
from collection.desk.checklists.gathered import Gathered, gathered
from collection.desk.checklists.line import Checklist, Group, Line
from collection.desk.checklists.models import ListTick
from collection.road.models import Tour
from registry.access.queries import member_names

Reasons = Callable[[Gathered], tuple[Group, ...]]
LISTS: dict[str, tuple[str, str, Reasons]] = {
    "before": ("Before the tour", "What the book wants done, and why", before.groups),
    "after": ("Lay-up", "Before it all stands still", after.groups),
}


def checklist(tour: Tour, which: str, *, today: date) -> Checklist:
    """One of the lists, computed as of today, with its ticks."""
    title, lead, reasons = LISTS[which]
    ticks = {row.line: row for row in ListTick.objects.filter(tour=tour)}
    names = member_names(tour.collection)
    groups = tuple(
        replace(
            group, lines=tuple(_ticked(line, which, ticks, names, tour) for line in group.lines)
        )
        for group in reasons(gathered(tour, today=today))
    )
    ordered = (replace(g, lines=tuple(sorted(g.lines, key=lambda one: one.done))) for g in groups)
    return Checklist(tour, which, title, lead, tuple(ordered))


def _ticked(
    line: Line, which: str, ticks: dict[str, ListTick], names: dict[str, str], tour: Tour
) -> Line:
    key = f"{which}:{line.key}"[:120]
    row, line = ticks.get(key), replace(line, key=key)
    if row is None:
        return line
    at = row.at.astimezone(tour.collection.zone_info)
    return line.ticked(names.get(row.by, row.by), f"{at.day} {at:%b, %H:%M}")

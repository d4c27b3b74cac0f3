"""What the pages of a stocktake say, put together from its queries."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Any

from django.contrib import messages
from django.http import HttpRequest
from django.urls import reverse

from collection.catalogue.queries import photos_of
from collection.core.stocktake import Compared
from collection.custody.models import Place
from collection.custody.stocktake import queries
from collection.custody.stocktake.actions import Marked
from collection.custody.stocktake.closing import GROUPS
from collection.custody.stocktake.forms import MarkForm
from collection.custody.stocktake.models import CountMark, Stocktake
from collection.custody.stocktake.queries import Comparison, Thing
from collection.custody.stocktake.signing import draw_of
from collection.custody.whereabouts import Whereabouts, whereabouts
from collection.ledger.lines import Line, sentence_of, when_of
from collection.ledger.models import Event
from registry import clock
from registry.access.models import Membership
from registry.access.queries import member_names

EMPTY_LINES = 22  # of a blind sheet: what a page of A4 holds under its head


@dataclass(frozen=True)
class Seen:
    """A mark as the counting page says it; never whether it was expected."""

    mark: CountMark
    name: str
    by: str

    @property
    def code(self) -> str:
        """Its code, '' without a label."""
        return self.mark.thing.code if self.mark.thing else ""


def page_of(stocktake: Stocktake, member: Membership) -> tuple[str, dict[str, Any]]:
    """The template of the state a stocktake is in, and what it says."""
    known, names = whereabouts(member), member_names(stocktake.collection)
    context: dict[str, Any] = {
        "stocktake": stocktake,
        "words": known.words(stocktake.place_id),
        "started_by": names.get(stocktake.started_by, stocktake.started_by),
    }
    if stocktake.blind:
        return "counting", context | {"seen": _seen(queries.marks_of(stocktake), names)}
    context["photos"] = photos_of(stocktake.subject, member)
    context["names"] = names
    if stocktake.running:
        found = queries.comparison(stocktake, known)
        told = [(one, _told(one.event, known)) for one in found.meanwhile]
        return "compare", context | {"found": found, "meanwhile": told}
    return "closed", context | _closed(stocktake, known, member, names)


def _seen(marks: Iterable[CountMark], names: dict[str, str]) -> list[Seen]:
    return [Seen(mark, _name(mark), names.get(mark.by, mark.by)) for mark in marks]


def _name(mark: CountMark) -> str:
    if mark.thing is None:
        return mark.words
    row = getattr(mark.thing, "piece", None)
    return row.called if row else str(getattr(mark.thing, "place_row", ""))


def _told(event: Event | None, known: Whereabouts) -> str:
    """What the book was told since the count began, with names for places."""
    if event is None:
        return ""
    said = sentence_of(event)
    for code in event.names.values():
        if code in known.by_code:
            said = said.replace(code, known.words(known.by_code[code].pk), 1)
    return f"{event.subject.code}, {when_of(event)}: {said}"


def _closed(
    row: Stocktake, known: Whereabouts, member: Membership, names: dict[str, str]
) -> dict[str, Any]:
    today = clock.today(row.collection.zone_info)
    lines = [
        Line(e, who=names.get(e.recorded_by, e.recorded_by)) for e in queries.signing_lines(row)
    ]
    state = getattr(row.subject, "state", None)
    found = as_closed(row, known) if row.closed_at else None
    return {
        "found": found,
        "meanwhile": [(one, "") for one in found.meanwhile] if found else [],
        "lines": lines,
        "signed": bool(state and state.condition == "signed"),
        "own": member.code in {row.closed_by, row.done_by, *queries.counters(row)},
        "waits": queries.Waiting(row, today) if row.closed_at else None,
        "alone": any(e.event.facts.get("alone") for e in lines),
        "draw": draw_of(row) if row.closed_at else (),
    }


def as_closed(row: Stocktake, known: Whereabouts) -> Comparison:
    """List and count as they were when it was closed."""
    groups = Compared(**{name: tuple(row.found.get(name, ())) for name in GROUPS})
    return queries.side_by_side(row, groups, known)


def signing_page(row: Stocktake, member: Membership) -> dict[str, Any]:
    """What the second signature has before it: the photos, the draw and how it was drawn."""
    known = whereabouts(member)
    things = as_closed(row, known).things if row.closed_at else {}
    return {
        "stocktake": row,
        "words": known.words(row.place_id),
        "photos": photos_of(row.subject, member),
        "things": [things[code] for code in draw_of(row)] if row.closed_at else [],
    }


@dataclass(frozen=True)
class SheetLine:
    """A thing of a printed list, with the address its QR code opens."""

    thing: Thing
    address: str


def sheet_of(place: Place, known: Whereabouts, absolute: Callable[[str], str]) -> list[SheetLine]:
    """The list of a place for paper; `absolute` makes a path an address of this site."""
    slug, found = place.collection.slug, []
    for thing in queries.named_list(place, known):
        page = "custody:place" if thing.is_place else "desk:piece"
        found.append(SheetLine(thing, absolute(reverse(page, args=[slug, thing.code]))))
    return found


def say(request: HttpRequest, marked: Marked) -> None:
    """Say what came of counting."""
    if marked.new and marked.late:
        messages.warning(
            request, f"Added late, and marked so, since the list was seen: {', '.join(marked.new)}."
        )
    elif marked.new:
        messages.success(request, f"Counted: {', '.join(marked.new)}.")
    if marked.again:
        messages.info(request, f"Counted before: {', '.join(marked.again)}.")


def with_unknown(row: Stocktake, marked: Marked, at: Place | None) -> MarkForm:
    """The form again, with what was no code still in it."""
    left = {"codes": "\n".join(marked.unknown), "at": at.code if at else ""}
    form = MarkForm(left, stocktake=row)
    for said in marked.unknown:
        form.add_error("codes", f"{said} is no code of this collection.")
    form.unknown = marked.unknown
    return form


def beside_a_place(place: Place, member: Membership) -> dict[str, Any]:
    """What the page of a place says of counts: whether its list is shut, what it counts in."""
    if not member.records:
        return {}
    counts = queries.open_counts(place.subject, member)
    shut = queries.shut_for(place, member, among=[one for one, _ in counts])
    return {"shut": shut, "counts": counts if place.moves else []}


def beside_places(member: Membership) -> dict[str, Any]:
    """Counts that run and those that wait for a signature, for whoever records."""
    if not member.records:
        return {}
    return beside_due_work(member) | {"running": queries.running(member.collection)}


def beside_due_work(member: Membership) -> dict[str, Any]:
    """Second signatures that are due or overdue, for whoever records."""
    today = clock.today(member.collection.zone_info)
    found = queries.waiting(member.collection, today=today) if member.records else []
    return {"waiting": found}

"""Writing a theft: the incident, what becomes known of it, and the steps that follow."""

from collections.abc import Iterable
from dataclasses import replace
from typing import Any

from collection.core.events.described import Described
from collection.core.events.not_found import NotFound
from collection.core.events.stolen import Stolen
from collection.custody.models import Incident, Place
from collection.ledger.actions import as_told, open_book
from collection.ledger.book import Book
from collection.ledger.errors import LedgerError
from collection.ledger.models import Event, Subject
from collection.ledger.telling import Telling
from registry.access.models import Collection, Membership

# Told to nobody through the book's plain facts: the book says that it changed, not what it is.
UNSAID = frozenset({"held_back", "contact_reach", "photos"})


def report_theft(
    *,
    collection: Collection,
    by: Membership,
    pieces: Iterable[str],
    code: str = "",
    place: Subject | Place | None = None,
    kind: str = Incident.Kind.THEFT,
    telling: Telling | None = None,
    **known: Any,
) -> Incident:
    """An incident with all pieces in it; `known` are further fields of the incident."""
    codes = list(dict.fromkeys(pieces))
    if not codes:
        raise LedgerError("Say at least one piece that is gone.")
    at = place.subject if isinstance(place, Place) else place
    with open_book(collection, by) as book:
        if telling and telling.once and (before := _reported(collection, telling.once)):
            return before
        subject = book.new_subject("incident", code)
        incident = Incident.objects.create(
            subject=subject, collection=collection, code=subject.code, place=at, kind=kind, **known
        )
        said = tuple((name, _told_text(name, value)) for name, value in known.items() if value)
        first = replace(_told_of(incident, book, telling), once=None, words="")
        book.append(Described(said=said, first=True), incident.code, first)
        for gone in codes:
            book.append(_loss(incident, book, gone), gone, _told_of(incident, book, telling))
            telling = replace(telling, once=None, words="") if telling else None
        return incident


def _reported(collection: Collection, once: str) -> Incident | None:
    event = Event.objects.of(collection).filter(once=once).first()
    code = event.names.get("incident") if event else None
    return Incident.objects.of(collection).filter(code=code).first() if code else None


def _loss(incident: Incident, book: Book, code: str) -> Stolen | NotFound:
    where = incident.place.code if incident.place else ""
    if incident.kind == Incident.Kind.THEFT:
        return Stolen(
            incident=incident.code,
            from_place=where,
            window_from=incident.last_seen,
            window_to=incident.found_gone,
        )
    looked_at = where or book.state(code).place
    if not looked_at:
        raise LedgerError(f"Say where {code} was looked for.")
    return NotFound(looked_at=looked_at, incident=incident.code)


def _told_of(incident: Incident, book: Book, telling: Telling | None) -> Telling:
    """A theft stands where it was found out, unless it is told otherwise."""
    telling = telling or Telling()
    if not telling.happened and incident.found_gone:
        return replace(telling, happened=incident.found_gone)
    return as_told(book, telling)


def update_report(
    *, incident: Incident, by: Membership, telling: Telling | None = None, **changes: Any
) -> Incident:
    """Change what is known of an incident; the book says when what became known."""
    new = {name: value for name, value in changes.items() if getattr(incident, name) != value}
    if not new:
        return incident
    with open_book(incident.collection, by) as book:
        said = tuple((name, _told_text(name, value)) for name, value in new.items())
        for name, value in new.items():
            setattr(incident, name, value)
        incident.save()
        book.append(Described(said=said), incident.code, as_told(book, telling))
        return incident


def _told_text(name: str, value: Any) -> str:
    if name in UNSAID:
        return "noted" if value else ""
    return value.code if isinstance(value, Subject) else str(value or "")


def tick(
    *,
    incident: Incident,
    by: Membership,
    step: str,
    done: bool = True,
    telling: Telling | None = None,
) -> Incident:
    """One step after a theft is done, by whom and when; or was ticked too early."""
    with open_book(incident.collection, by) as book:
        incident = Incident.objects.select_for_update().get(pk=incident.pk)
        if (step in incident.steps) == done:
            return incident
        steps = {name: how for name, how in incident.steps.items() if name != step}
        if done:
            steps[step] = {"by": by.code, "at": (telling and telling.happened) or str(book.now)}
        incident.steps = steps
        said = [(f"step {step}", "done" if done else "")]
        if step == "police" and done and incident.report == Incident.Report.NOT_YET:
            incident.report = Incident.Report.PENDING
            said.append(("report", incident.report))
        incident.save(update_fields=["steps", "report"])
        book.append(Described(said=tuple(said)), incident.code, as_told(book, telling))
        return incident

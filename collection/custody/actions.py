"""Writing custody: places and parties, what was moved, seen, missed, stolen and recovered."""

from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import Any

from django.core.exceptions import PermissionDenied

from collection.core.events.cleared import Cleared
from collection.core.events.described import Described
from collection.core.events.moved import Moved
from collection.core.events.not_found import NotFound
from collection.core.events.recovered import Recovered
from collection.core.events.sighted import Sighted
from collection.core.events.stolen import Stolen
from collection.custody.models import Incident, Party, Place, Town
from collection.custody.queries import inside_path, standing
from collection.ledger.actions import open_book
from collection.ledger.book import Book
from collection.ledger.errors import LedgerError, PlanRefused
from collection.ledger.models import Event, Subject
from collection.ledger.telling import Telling
from registry.access.models import Collection, Membership

# Told to nobody through the book's plain facts: the book says that it changed, not what it is.
UNSAID = frozenset({"held_back", "contact_reach", "photos"})


def as_told(book: Book, telling: Telling | None) -> Telling:
    """How it came; an act told without any date happened today, at the moment it is written.

    The day and not the second: a time cut to seconds would stand before what was written in the
    same second, and a day that holds the moment of writing stands exactly there.
    """
    telling = telling or Telling()
    if telling.happened:
        return telling
    today = book.now.astimezone(book.collection.zone_info).date()
    return replace(telling, happened=today.isoformat())


# -- places and parties -----------------------------------------------------------------------
def add_place(
    *,
    collection: Collection,
    by: Membership,
    name: str,
    kind: str,
    code: str = "",
    inside: Place | None = None,
    town: Town | str | None = None,
    **known: Any,
) -> Place:
    """A place of the tree; a town of the gazetteer brings country, coordinates and zone along.

    `known`: country, latitude, longitude, zone, private, hours, opens_minutes.
    """
    with open_book(collection, by) as book:
        subject = book.new_subject("place", code)
        place = Place(subject=subject, collection=collection, code=subject.code, name=name)
        place.kind, place.inside = kind, inside
        _set(place, {**_of_town(town), **known})
        place.path = inside_path(place)
        place.save(force_insert=True)
        book.append(
            Described(said=_said_of_place(place), first=True), subject.code, as_told(book, None)
        )
        return place


def change_place(
    *, place: Place, by: Membership, town: Town | str | None = None, **changes: Any
) -> Place:
    """Change what is known of a place; a case or truck is put elsewhere by `move`."""
    with open_book(place.collection, by) as book:
        before = dict(_said_of_place(place))
        _set(place, {**_of_town(town), **changes})
        if "inside" in changes and place.inside and f"/{place.code}/" in place.inside.path:
            raise PlanRefused((f"{place.inside.code} is inside {place.code}.",))
        place.save()
        _hang(place)
        said = tuple(pair for pair in _said_of_place(place) if before.get(pair[0]) != pair[1])
        if said:
            book.append(Described(said=said), place.code, as_told(book, None))
        return place


def _of_town(town: Town | str | None) -> dict[str, Any]:
    if town is None or isinstance(town, str):
        return {} if town is None else {"town": town}
    return {
        "town": town.name,
        "country": town.country,
        "latitude": town.latitude,
        "longitude": town.longitude,
        "zone": town.zone,
    }


def _said_of_place(place: Place) -> tuple[tuple[str, str], ...]:
    """Kind and what it stands inside: names and towns may be private, the book is for ever."""
    inside = place.inside.code if place.inside else ""
    private = "yes" if place.private else ""
    said = (("kind", place.kind), ("inside", inside), ("private", private))
    return tuple(pair for pair in said if pair[1])


def add_party(
    *, collection: Collection, by: Membership, name: str, code: str = "", **known: Any
) -> Party:
    """A person or firm: does, outward, phone, email, note; the book knows the code alone."""
    with open_book(collection, by) as book:
        subject = book.new_subject("party", code)
        return Party.objects.create(
            subject=subject, collection=collection, code=subject.code, name=name, **known
        )


def change_party(*, party: Party, by: Membership, **changes: Any) -> Party:
    """Change what is known of a person or firm; personal data never stands in the book."""
    with open_book(party.collection, by):
        _set(party, changes)
        party.save()
        return party


def _set(row: Any, changes: Mapping[str, Any]) -> None:
    for name, value in changes.items():
        setattr(row, name, value)


# -- where things are -------------------------------------------------------------------------
def move(
    *,
    collection: Collection,
    by: Membership,
    code: str,
    to: str,
    manner: str = "carried",
    holder: str = "",
    telling: Telling | None = None,
) -> Event:
    """It was put at `to`; a case or truck takes along what is in it, with one entry."""
    with open_book(collection, by) as book:
        _refuse_into_itself(book, code, to)
        facts = Moved(to=to, manner=manner, holder=holder)
        event = book.append(facts, code, as_told(book, telling))
        _follow(book, code)
        return event


def sight(
    *,
    collection: Collection,
    by: Membership,
    code: str,
    at: str = "",
    telling: Telling | None = None,
) -> Event:
    """Somebody saw it, where the book says or at `at`; never refused, even of a stolen piece."""
    with open_book(collection, by) as book:
        _refuse_into_itself(book, code, at)
        event = book.append(Sighted(at=at), code, as_told(book, telling))
        _follow(book, code)
        return event


def not_found(
    *,
    collection: Collection,
    by: Membership,
    code: str,
    looked_at: str,
    how: str = "",
    telling: Telling | None = None,
) -> Event:
    """Somebody looked for it there and it was not."""
    with open_book(collection, by) as book:
        return book.append(NotFound(looked_at=looked_at, how=how), code, as_told(book, telling))


def _refuse_into_itself(book: Book, code: str, to: str) -> None:
    row = Place.objects.of(book.collection).filter(code=to).first() if to else None
    if to and row is None:
        raise LedgerError(f"{to} is not a place of this collection.")
    if row and f"/{code}/" in row.path:
        raise PlanRefused((f"{to} is inside {code}; a thing cannot stand inside itself.",))


def _follow(book: Book, code: str) -> None:
    """Let the tree of places follow where the book now says that a place stands."""
    row = Place.objects.of(book.collection).filter(code=code).first()
    if row is None:
        return
    at = book.state(code).place
    row.inside = Place.objects.of(book.collection).filter(code=at).first() if at else row.inside
    _hang(row)


def _hang(place: Place) -> None:
    old, place.path = place.path, inside_path(place)
    place.save(update_fields=["inside", "path"])
    below = Place.objects.of(place.collection).filter(path__startswith=old).exclude(pk=place.pk)
    for row in below:
        row.path = place.path + row.path.removeprefix(old)
        row.save(update_fields=["path"])


# -- theft ------------------------------------------------------------------------------------
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
        _set(incident, new)
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


# -- recovery ---------------------------------------------------------------------------------
def recover(
    *,
    collection: Collection,
    by: Membership,
    code: str,
    at: str,
    found_by: str = "",
    identity: Iterable[str] = (),
    mislaid: bool = False,
    telling: Telling | None = None,
) -> Event:
    """It turned up: into quarantine at `at`, until every gate is passed."""
    with open_book(collection, by) as book:
        theft = standing(collection, code, "stolen")
        facts = Recovered(
            incident=book.state(code).incident or "",
            at=at,
            found_by=found_by,
            identity=tuple(identity),
            mislaid=mislaid,
        )
        answers = theft.sequence if theft else None
        return book.append(facts, code, as_told(book, telling), answers=answers)


def clear_gate(
    *,
    collection: Collection,
    by: Membership,
    code: str,
    gate: str,
    answer: str,
    because: str = "",
    evidence: Iterable[str] = (),
    telling: Telling | None = None,
) -> Event:
    """A keeper passes one gate, or says why it does not apply; the last one frees the piece."""
    if not by.keeps:
        raise PermissionDenied("Only a keeper of the collection passes the gates of a recovery.")
    with open_book(collection, by) as book:
        facts = Cleared(gate=gate, answer=answer, because=because, evidence=tuple(evidence))
        back = standing(collection, code, "recovered")
        answers = back.sequence if back else None
        return book.append(facts, code, as_told(book, telling), answers=answers)

"""Writing places and parties: what is known of them, and where a place stands in the tree."""

from collections.abc import Mapping
from typing import Any

from collection.core.events.described import Described
from collection.custody.models import Party, Place, Town
from collection.custody.queries import inside_path
from collection.ledger.actions import as_told, open_book
from collection.ledger.errors import PlanRefused
from collection.ledger.presses import made_before, remember
from registry.access.models import Collection, Membership


def add_place(
    *,
    collection: Collection,
    by: Membership,
    name: str,
    kind: str,
    code: str = "",
    inside: Place | None = None,
    town: Town | str | None = None,
    once: str = "",
    **known: Any,
) -> Place:
    """A place of the tree; a town of the gazetteer brings country, coordinates and zone along.

    `known`: country, latitude, longitude, zone, private, hours, opens_minutes.
    """
    with open_book(collection, by) as book:
        if made := made_before(collection, once):
            return Place.objects.of(collection).get(code=made)
        subject = book.new_subject("place", code)
        place = Place(subject=subject, collection=collection, code=subject.code, name=name)
        place.kind, place.inside = kind, inside
        _set(place, {**_of_town(town), **known})
        place.path = inside_path(place)
        place.save(force_insert=True)
        book.append(
            Described(said=_said_of_place(place), first=True), subject.code, as_told(book, None)
        )
        remember(collection, once, place.code)
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
        hang(place)
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
    *,
    collection: Collection,
    by: Membership,
    name: str,
    code: str = "",
    once: str = "",
    **known: Any,
) -> Party:
    """A person or firm: does, outward, phone, email, note; the book knows the code alone."""
    with open_book(collection, by) as book:
        if made := made_before(collection, once):
            return Party.objects.of(collection).get(code=made)
        subject = book.new_subject("party", code)
        remember(collection, once, subject.code)
        return Party.objects.create(
            subject=subject, collection=collection, code=subject.code, name=name, **known
        )


def change_party(*, party: Party, by: Membership, once: str = "", **changes: Any) -> Party:
    """Change what is known of a person or firm; personal data never stands in the book."""
    with open_book(party.collection, by):
        _set(party, changes)
        party.save()
        return party


def _set(row: Any, changes: Mapping[str, Any]) -> None:
    for name, value in changes.items():
        setattr(row, name, value)


def hang(place: Place) -> None:
    """Write a place's path after it was put elsewhere, and those of all below it."""
    old, place.path = place.path, inside_path(place)
    place.save(update_fields=["inside", "path"])
    below = Place.objects.of(place.collection).filter(path__startswith=old).exclude(pk=place.pk)
    for row in below:
        row.path = place.path + row.path.removeprefix(old)
        row.save(update_fields=["path"])

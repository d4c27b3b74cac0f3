"""The packing list as a file."""

from collections.abc import Sequence
from decimal import Decimal

from collection.desk.lists.listing import Asked, Column, Listing
from collection.desk.packing.queries import Packed, packing
from collection.road import queries as road


def _rows(asked: Asked) -> Sequence[Packed]:
    """Of the tour that is asked for, else the newest that has begun, else the newest."""
    tours = road.tour(asked.member.collection)
    found = tours.filter(code=asked.query.get("tour", "")).first()
    begun = tours.filter(starts_on__lte=asked.today).order_by("-starts_on")
    found = found or begun.first() or tours.order_by("starts_on").first()
    return packing(found, asked.member, truck=asked.query.get("truck", "")).rows if found else ()


def _kg(one: Packed) -> Decimal | None:
    return Decimal(one.grams) / 1000 if one.grams else None


PACKING = Listing(
    "packing",
    "Packing list",
    (
        Column("order in the truck", lambda one: one.order),
        Column("code", lambda one: one.code),
        Column("name", lambda one: one.name),
        Column("holds", lambda one: "; ".join(one.holds)),
        Column("outside size", lambda one: one.size),
        Column("kg packed", _kg),
        Column("fully weighed", lambda one: "yes" if one.weighed else "no"),
        Column("two people", lambda one: "yes" if one.two_people else "no"),
        Column("truck now", lambda one: one.truck),
    ),
    _rows,
)

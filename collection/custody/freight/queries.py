"""Reading freight: what is on the way, since when, what is late."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta

from django.db.models import QuerySet

from collection.catalogue.models import Piece
from collection.core.freight import (
    ARRIVED,
    CAUTIONS,
    ON_THE_WAY,
    PART_ARRIVED,
    expected_words,
    late,
)
from collection.custody.freight.models import Shipment
from collection.custody.models import Place
from collection.custody.queries import codes_inside
from collection.ledger.models import State, Subject
from registry.access.models import Collection

UNDER_WAY = (ON_THE_WAY, PART_ARRIVED)
ARRIVED_SHOWN = 20


def shipments(collection: Collection) -> QuerySet[Shipment]:
    """Shipments with where they come from and go, and how far they have come."""
    return Shipment.objects.of(collection).select_related(
        "to__inside__inside", "origin", "carrier", "subject__state", "collection"
    )


def under_way(collection: Collection) -> QuerySet[Shipment]:
    """Shipments of which something has not arrived, the first expected first."""
    return shipments(collection).filter(subject__state__condition__in=UNDER_WAY)


@dataclass(frozen=True)
class ShipmentLine:
    """A shipment as it stands at a moment; `called`: names of what it carries, by code."""

    shipment: Shipment
    now: datetime
    called: Mapping[str, str]

    @property
    def under_way(self) -> bool:
        """Whether something of it has not arrived."""
        return self.condition in UNDER_WAY

    @property
    def condition(self) -> str:
        """How far it has come; '' when the entry was taken back."""
        state = getattr(self.shipment.subject, "state", None)
        return state.condition if state else ""

    @property
    def late(self) -> bool:
        """Whether it should be here by now."""
        return self.under_way and late(self.shipment.expected_at, self.now)

    @property
    def late_by(self) -> timedelta:
        """How late it is."""
        return self.now - self.shipment.expected_at

    @property
    def expected(self) -> str:
        """When it is expected, on the clock of where it goes."""
        return expected_words(self.shipment.expected_at, self.now, self.shipment.zone)

    @property
    def mark(self) -> str:
        """The glyph of how it stands; red only when it is late."""
        if self.late:
            return "over"
        return "wait" if self.under_way else "ok" if self.condition == ARRIVED else "void"

    @property
    def words(self) -> str:
        """How it stands."""
        if self.late:
            return f"late, was expected {self.expected}"
        if self.under_way:
            rest = "the rest " if self.condition == PART_ARRIVED else ""
            return f"{rest}on the way, expected {self.expected}"
        return self.condition or "taken back"

    @property
    def things(self) -> list[tuple[str, str]]:
        """(code, name) of what was handed over."""
        return [(code, self.called.get(code, "")) for code in self.shipment.things]

    @property
    def cautions(self) -> list[str]:
        """What in it needs care."""
        return [CAUTIONS[key] for key in self.shipment.cautions if key in CAUTIONS]

    @property
    def dangerous(self) -> bool:
        """Whether something in it is asked about by every carrier."""
        return bool({"lithium", "solvent"} & set(self.shipment.cautions))


def lines(found: Iterable[Shipment], *, now: datetime) -> list[ShipmentLine]:
    """Shipments as they stand; 2 queries for the names."""
    rows = list(found)
    codes = {code for row in rows for code in row.things}
    called = names_of(rows[0].collection, codes) if rows else {}
    return [ShipmentLine(row, now, called) for row in rows]


def names_of(collection: Collection, codes: Iterable[str]) -> dict[str, str]:
    """What pieces and cases are called, by code; 2 queries."""
    wanted = list(codes)
    pieces = Piece.objects.of(collection).filter(code__in=wanted).select_related("design")
    cases = Place.objects.of(collection).filter(code__in=wanted)
    named = {piece.code: piece.called for piece in pieces}
    return named | {case.code: case.name for case in cases}


@dataclass(frozen=True)
class Freight:
    """What is on the way, what is late first, and what arrived."""

    coming: list[ShipmentLine]
    arrived: list[ShipmentLine]


def freight(collection: Collection, *, now: datetime) -> Freight:
    """Everything on the way and the newest arrivals; 4 queries."""
    found = lines(shipments(collection).order_by("-expected_at"), now=now)
    coming = [line for line in found if line.under_way]
    return Freight(
        sorted(coming, key=lambda line: line.shipment.expected_at),
        [line for line in found if not line.under_way][:ARRIVED_SHOWN],
    )


def still_in(shipment: Shipment) -> tuple[str, ...]:
    """Codes of what was handed over and has not arrived or been seen elsewhere since."""
    found = State.objects.of(shipment.collection).filter(place=shipment.subject)
    waiting = set(found.values_list("subject__code", flat=True))
    return tuple(code for code in shipment.things if code in waiting)


def in_cases(collection: Collection, codes: Iterable[str]) -> tuple[str, ...]:
    """Pieces in the cases among some codes."""
    inside = (one for code in codes for one in codes_inside(collection, code))
    return tuple(dict.fromkeys(inside))


def shippable(collection: Collection) -> QuerySet[Subject]:
    """What can be shipped: pieces, and cases."""
    found = Subject.objects.of(collection).select_related("piece__design", "place_row")
    return (found.filter(kind="piece") | found.filter(place_row__kind="case")).order_by("code")

"""Plain builders for the road: a stage in Bergen, what travels with it, what stands elsewhere."""

from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from collection.bench.actions import inspect
from collection.catalogue.actions import add_circuit, add_design, add_maker, add_piece
from collection.catalogue.models import Piece
from collection.custody.actions import add_place, move
from collection.custody.models import Place
from collection.ledger.telling import Telling
from collection.road.actions import add_show, add_tour, set_position, travel
from collection.road.models import RigPosition, Show, Tour
from registry.access.models import Membership

OSLO = ZoneInfo("Europe/Oslo")
TODAY = date(2024, 11, 24)
NOW = datetime(2024, 11, 24, 15, 42, tzinfo=OSLO)
BERGEN = {"town": "Bergen", "country": "NO", "latitude": 60.39, "longitude": 5.32,
          "zone": "Europe/Oslo"}  # fmt: skip
VOSS = {"town": "Voss", "country": "NO", "latitude": 60.63, "longitude": 6.42,
        "zone": "Europe/Oslo"}  # fmt: skip
CARLISLE = {"town": "Carlisle", "country": "GB", "latitude": 54.89, "longitude": -2.93,
            "zone": "Europe/London"}  # fmt: skip


@dataclass(frozen=True)
class Road:
    """A tour on its show day, with the pieces of the rig plan."""

    by: Membership
    tour: Tour
    show: Show
    venue: Place
    truck: Place
    position: RigPosition

    @property
    def collection(self):
        return self.by.collection


def a_place(by: Membership, name: str, kind: str = "site", **known: Any) -> Place:
    return add_place(collection=by.collection, by=by, name=name, kind=kind, **known)


def an_amplifier(
    by: Membership,
    code: str,
    *,
    at: Place | None = None,
    works_on: date | None = TODAY - timedelta(days=2),
    circuit: str = "BR-12/C",
    design: str = "Twelve",
    **described: Any,
) -> Piece:
    """An amplifier of a design, put at a place, and checked at the bench on a day."""
    collection = by.collection
    maker = add_maker(collection=collection, name="Brannoch")
    piece = add_piece(
        collection=collection,
        by=by,
        code=code,
        kind="amplifier",
        maker=maker,
        design=add_design(collection=collection, maker=maker, kind="amplifier", name=design),
        circuit=add_circuit(collection=collection, name=circuit),
        **described,
    )
    long_ago = Telling(happened="2023-03-01")
    if at is not None:
        move(collection=collection, by=by, code=code, to=at.code, telling=long_ago)
    if works_on is not None:
        worked = Telling(happened=works_on.isoformat())
        inspect(collection=collection, by=by, code=code, level="bench-checked", telling=worked)
    return piece


def a_road(by: Membership, *, on: date = TODAY, mark: str = "", **day_sheet: Any) -> Road:
    """A tour with a show in Bergen that day, A-003 at position 1, A-018 in the truck behind it."""
    collection = by.collection
    venue = a_place(by, "Sjøhallen", "venue", **BERGEN)
    truck = a_place(by, "Truck A", "truck", code=f"TRUCK-A{mark}")
    tour = add_tour(
        collection=collection,
        by=by,
        name="Autumn",
        code=f"T-001{mark}",
        places=[truck],
        starts_on=on - timedelta(days=20),
        ends_on=on + timedelta(days=18),
        carnet=True,
    )
    times = {
        "load_in": time(11), "line_check": time(16, 30), "doors": time(19),
        "on_stage": time(20, 45), "off_stage": time(23), "mains_volts": 230, "mains_hz": 50,
    }  # fmt: skip
    show = add_show(
        collection=collection, by=by, tour=tour, venue=venue, on=on, number=14,
        code=f"W-014{mark}", **(times | day_sheet),
    )  # fmt: skip
    playing = an_amplifier(by, f"A-003{mark}", at=truck)
    behind = an_amplifier(by, f"A-018{mark}", at=truck)
    for piece in (playing, behind):
        travel(tour=tour, piece=piece, on_carnet=True)
    position = set_position(
        tour=tour, number=1, name="organ amp", piece=playing, backup=behind, stands="side",
        fallback="A-018 from the side", fallback_steps=["stands: stage left", "lead: 2B, green"],
        outage_minutes=4,
    )  # fmt: skip
    return Road(by, tour, show, venue, truck, position)

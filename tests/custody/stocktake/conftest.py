"""A shelf with four pieces, a case on it, a second bay, and two people who can count."""

from dataclasses import dataclass
from datetime import datetime, timedelta

import pytest

from collection.catalogue.actions import add_piece
from collection.custody import actions as custody
from collection.custody.models import Place
from collection.custody.stocktake import actions
from collection.custody.stocktake.models import Stocktake
from collection.ledger.models import Event, State
from registry import clock
from registry.access.models import Collection, Membership
from tests.builders import a_member, a_person


@dataclass
class Shelf:
    collection: Collection
    by: Membership
    other: Membership
    bay: Place
    next_bay: Place
    case: Place
    settings: object

    def later(self, **span: int) -> datetime:
        """Let time pass; what is written now stands after what was written before."""
        self.settings.CLOCK_AHEAD += timedelta(**(span or {"minutes": 1})).total_seconds()
        return clock.now()

    def began(self, place: Place | None = None) -> Stocktake:
        self.later()
        made = actions.start(collection=self.collection, by=self.by, place=place or self.bay)
        self.later()
        return made

    def state(self, code: str) -> State:
        return State.objects.of(self.collection).get(subject__code=code)

    def entries(self, kind: str) -> list[Event]:
        return list(Event.objects.of(self.collection).filter(kind=kind).order_by("sequence"))

    def given(self) -> dict:
        return {"collection": self.collection, "by": self.by}


@pytest.fixture
def shelf(collection, technician, settings) -> Shelf:
    given = {"collection": collection, "by": technician}
    house = custody.add_place(**given, name="Warehouse", kind="site")
    bay = custody.add_place(**given, name="Bay 1", kind="room", inside=house)
    next_bay = custody.add_place(**given, name="Bay 2", kind="room", inside=house)
    case = custody.add_place(**given, name="Case 07", kind="case", code="CASE-07", inside=bay)
    there = {"A-007": bay.code, "A-012": bay.code, "G-003": case.code, "G-004": bay.code,
             "E-001": next_bay.code}  # fmt: skip
    for code, place in there.items():
        kind = {"A": "amplifier", "G": "instrument", "E": "effect"}[code[0]]
        add_piece(**given, code=code, kind=kind, name=f"Thing {code[2:]}")
        custody.move(**given, code=code, to=place)
    jonah = a_member(collection, person=a_person(name="Jonah Rae"))
    return Shelf(collection, technician, jonah, bay, next_bay, case, settings)

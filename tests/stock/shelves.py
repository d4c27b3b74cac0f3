"""Stocks to test with, built through the actions that pages call."""

from dataclasses import dataclass
from datetime import timedelta

from django.utils import timezone

from collection.catalogue.actions import add_circuit, add_piece
from collection.core.events.played import Played
from collection.ledger.actions import open_book
from collection.ledger.telling import Telling
from collection.stock import actions
from collection.stock.models import Lot, PartType
from registry.access.models import Membership
from registry.access.roles import Role
from tests.builders import a_collection, a_member

PAIR = (
    {"name": "V4", "fits": ["EL34"], "matched_with": "output"},
    {"name": "V5", "fits": ["EL34"], "matched_with": "output"},
)


@dataclass(frozen=True)
class Desk:
    """A collection with somebody who records."""

    member: Membership

    @property
    def who(self) -> dict[str, object]:
        """The arguments every act starts with."""
        return {"collection": self.member.collection, "by": self.member}

    def url(self, rest: str = "") -> str:
        """An address of the stock."""
        return f"/{self.member.collection.slug}/stock/{rest}"


def a_desk(*, role: str = Role.TECHNICIAN) -> Desk:
    """An empty collection with a technician."""
    return Desk(a_member(a_collection(), role=role))


def heads(desk: Desk, *codes: str) -> None:
    """Amplifiers whose circuit takes one matched pair of EL34."""
    circuit = add_circuit(collection=desk.member.collection, name="HB-50/2", positions=PAIR)
    for code in codes:
        add_piece(**desk.who, code=code, kind="amplifier", circuit=circuit)


def output_tubes(desk: Desk, **limits: object) -> PartType:
    """EL34, fed in pairs."""
    given = {"set_size": 2, "plate_watts": 25, "rating_system": "design-centre",
             "sheet": "Philips, 1955", **limits}  # fmt: skip
    return actions.add_type(collection=desk.member.collection, code="EL34", **given)


def pairs(desk: Desk, kind: PartType, units: int, **described: object) -> Lot:
    """A lot of sealed matched pairs."""
    lot = actions.add_lot(**desk.who, type=kind, in_sets=True, **described)
    actions.receive(**desk.who, lot=lot, units=units)
    return lot


def a_show(desk: Desk, code: str, *, days_ago: float, pieces: tuple[str, ...], ht: str = "1.5"):
    """A show in the log, so many days ago."""
    played_at = (timezone.now() - timedelta(days=days_ago)).replace(microsecond=0)
    with open_book(desk.member.collection, desk.member) as book:
        subject = book.new_subject("show", code)
        facts = Played(pieces=pieces, ht_hours=ht, heater_hours="3")
        return book.append(facts, subject.code, Telling(happened=played_at.isoformat()))


def the_worked_case() -> Desk:
    """60 matched sets pulled at 60 h, two heads, 1.5 h a show, 120 shows a year."""
    desk = a_desk()
    heads(desk, "A-007", "A-012")
    kind = output_tubes(desk)
    pairs(desk, kind, 60)
    actions.choose_pull(**desk.who, type=kind, pull_hours=60, because="as before")
    actions.set_outlook(**desk.who, type=kind, shows_per_year=120, hours_per_show=1.5)
    return desk

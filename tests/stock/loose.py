"""Loose tubes with slips, built through the actions that pages call."""

from collection.core.events.slip_noted import SlipNoted
from collection.stock import actions
from collection.stock.matching import actions as matching
from collection.stock.models import Lot, Part, PartType
from tests.stock.shelves import Desk

READ = {"98": "10900", "96": "10800", "71": "9000", "70": "8900", "55": "9900"}


def a_slip(lot: Lot, current: str, gm: str, **said: str) -> SlipNoted:
    """A slip of the bench tester at the data sheet's class A point."""
    usual = {"tester": "bench tester", "plate_volts": "250", "screen_volts": "250",
             "grid_volts": "13.5", "grade": "show"}  # fmt: skip
    return SlipNoted(lot=lot.code, sections=(("", current, gm, ""),), **(usual | said))


def a_tested_lot(desk: Desk, kind: PartType, *, units: int = 8, **described: str) -> Lot:
    """A lot of singles, all of them tested good for show."""
    lot = actions.add_lot(**desk.who, type=kind, **described)
    actions.receive(**desk.who, lot=lot, units=units)
    actions.test(**desk.who, lot=lot, units=units, passed={"show": units}, failed=0)
    return lot


def with_slips(desk: Desk, lot: Lot, read: dict[str, str] = READ, **said: str) -> list[Part]:
    """One tube a reading, with its slip."""
    return [
        matching.note_slip(**desk.who, lot=lot, slip=a_slip(lot, current, gm, **said))
        for current, gm in read.items()
    ]

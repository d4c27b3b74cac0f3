"""Samples of the stock for the test that asks for every address."""

from collection.catalogue.actions import add_circuit, add_piece
from collection.core.events.slip_noted import SlipNoted
from collection.stock import actions
from collection.stock.forecast import Prospect
from collection.stock.matching.actions import note_slip
from collection.stock.models import Lot
from collection.stock.queries import shelf
from collection.stock.ways.actions import keep_plan
from collection.stock.ways.way import Way
from registry import clock
from registry.access.models import Membership


def a_type(keeper: Membership, mark: str) -> str:
    """A type's code."""
    return actions.add_type(collection=keeper.collection, code=f"EL34-{mark}").code


def a_lot(keeper: Membership, mark: str) -> str:
    """A lot's code."""
    return _lot(keeper, mark, "L").code


def a_part(keeper: Membership, mark: str) -> str:
    """The code of a part that was issued."""
    lot = _lot(keeper, mark, "LP")
    part = actions.issue(
        collection=keeper.collection, by=keeper, lot=lot, units=1, part_code=f"S-{mark.upper()}"
    )
    return part.code


def a_thrift_plan(keeper: Membership, mark: str) -> str:
    """The number of a kept plan."""
    who = {"collection": keeper.collection, "by": keeper}
    kind = actions.add_type(collection=keeper.collection, code=f"TPK-{mark}")
    circuit = add_circuit(
        collection=keeper.collection, name=f"TP-{mark}",
        positions=({"name": "V1", "fits": [kind.code]},),
    )  # fmt: skip
    add_piece(**who, code=f"ATP-{mark.upper()}", kind="amplifier", circuit=circuit)
    lot = actions.add_lot(**who, type=kind, code=f"TPL-{mark.upper()}")
    actions.receive(**who, lot=lot, units=9)
    actions.choose_pull(**who, type=kind, pull_hours=60, because="as before")
    actions.set_outlook(**who, type=kind, shows_per_year=50, hours_per_show=2)
    now = clock.now()
    prospect = Prospect(shelf(keeper.collection).stock(kind.code), today=now.date())
    plan = keep_plan(prospect=prospect, by=keeper, name="More", way=Way(buy=5), now=now)
    return str(plan.pk)


def _lot(keeper: Membership, mark: str, prefix: str) -> Lot:
    kind = actions.add_type(collection=keeper.collection, code=f"EF86-{mark}")
    return actions.add_lot(
        collection=keeper.collection, by=keeper, type=kind, code=f"{prefix}-{mark.upper()}"
    )


def a_fitted_part(keeper: Membership, mark: str) -> str:
    """The code of a part that sits in a piece."""
    lot = _lot(keeper, mark, "LF")
    piece = add_piece(
        collection=keeper.collection, by=keeper, code=f"AF-{mark.upper()}", kind="amplifier"
    )
    part = actions.issue(
        collection=keeper.collection, by=keeper, lot=lot, units=1, piece=piece, position="V1",
        part_code=f"SF-{mark.upper()}",
    )  # fmt: skip
    return part.code


def a_loose_tube(keeper: Membership, mark: str) -> str:
    """The code of a loose tube that has a slip."""
    lot = _lot(keeper, mark, "LT")
    slip = SlipNoted(lot=lot.code, tester="bench tester", sections=(("", "98", "10900", ""),))
    return note_slip(collection=keeper.collection, by=keeper, lot=lot, slip=slip).code


def a_set(keeper: Membership, mark: str) -> str:
    """The code of a set of two."""
    lot = _lot(keeper, mark, "LS")
    code = f"SS-{mark.upper()}"
    actions.issue(collection=keeper.collection, by=keeper, lot=lot, units=2, part_code=code)
    return code

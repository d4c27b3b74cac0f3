"""Samples of the stock for the test that asks for every address."""

from collection.catalogue.actions import add_piece
from collection.core.events.slip_noted import SlipNoted
from collection.stock import actions
from collection.stock.matching.actions import note_slip
from collection.stock.models import Lot
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

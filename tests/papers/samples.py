"""What addresses of borders and permits can name, for `tests/samples.py`."""

from datetime import date
from typing import Any

from collection.catalogue.actions import add_piece
from collection.catalogue.models import Piece
from collection.papers.borders import actions as borders
from collection.papers.permits import actions as permits
from collection.papers.permits.models import InstrumentCertificate
from collection.road.carnet.models import Carnet
from collection.road.models import Tour
from registry.access.models import Membership
from tests.papers.borders.builders import a_carnet, passed


def an_instrument(by: Membership, code: str, **described: Any) -> Piece:
    return add_piece(
        collection=by.collection, by=by, code=code, kind="instrument", name="Linnet", **described
    )


def goods_listed(keeper: Membership, mark: str) -> str:
    """Goods on the carnet of the tour that the sample of `tour` made."""
    return str(
        borders.list_goods(
            carnet=_carnet(keeper, mark), by=keeper, kind="cables", what="set of cables"
        ).pk
    )


def a_crossing(keeper: Membership, mark: str) -> str:
    row = borders.cross(carnet=_carnet(keeper, mark), by=keeper, passed=passed(stamped=False))
    return str(row.pk)


def _carnet(keeper: Membership, mark: str) -> Carnet:
    tour = Tour.objects.of(keeper.collection).first()
    if tour is None:
        return a_carnet(keeper, mark=f"-{mark.upper()}")[1]
    return borders.begin(tour=tour, by=keeper, code=f"CN-{mark.upper()}", home="GB")


def a_certificate(keeper: Membership, mark: str) -> str:
    return a_certificate_of(keeper, f"V-{mark.upper()}", code=f"MIC-{mark.upper()}").code


def a_certificate_of(
    keeper: Membership, piece_code: str, *, code: str = "", **changed
) -> InstrumentCertificate:
    """A certificate for an instrument of its own."""
    facts = {"number": "X-1", "authority": "The authority", "state": "GB", "holder": "Mirren Vale",
             "issued_on": date(2024, 1, 2), "expires_on": date(2027, 1, 1)}  # fmt: skip
    piece = an_instrument(keeper, piece_code)
    return permits.add_certificate(piece=piece, by=keeper, code=code, **(facts | changed))


def a_material(keeper: Membership, mark: str) -> str:
    piece = an_instrument(keeper, f"V-M{mark.upper()}")
    return str(permits.add_material(piece=piece, by=keeper, part="bridge", trade="rosewood").pk)

"""A tour with a carnet: what travels is weighed, valued and made somewhere."""

from datetime import date
from typing import Any

from collection.catalogue.models import Piece
from collection.custody.whereabouts import whereabouts
from collection.papers.borders import actions, queries
from collection.papers.borders.actions import Passed
from collection.papers.borders.queries import Borders
from collection.road.carnet.models import Carnet
from registry.access.models import Membership
from tests.road.builders import TODAY, Road, a_road

PAPER = {"number": "GB/11/4711", "chamber": "Chamber in Carlisle", "holder": "Vale Touring",
         "traveller": "Ines Holt", "home": "GB", "currency": "GBP"}  # fmt: skip
WHOLE = {"mass_grams": 14_500, "value_minor": 280_000, "value_currency": "GBP", "made_in": "GB"}


def a_carnet(by: Membership, *, mark: str = "", **paper: Any) -> tuple[Road, Carnet]:
    """A tour with two whole pieces on the open list of its carnet."""
    road = a_road(by, mark=mark)
    for number, piece in enumerate(Piece.objects.filter(travels__tour=road.tour).order_by("code")):
        Piece.objects.filter(pk=piece.pk).update(serial=f"04{number}{number}", **WHOLE)
    carnet = actions.begin(tour=road.tour, by=by, code=f"CN-1{mark}", **(PAPER | paper))
    return road, carnet


def page_of(road: Road, *, today: date = TODAY) -> Borders:
    return queries.borders(road.tour, whereabouts(road.by), today=today)


def an_issued_carnet(by: Membership, *, mark: str = "") -> tuple[Road, Carnet]:
    road, carnet = a_carnet(by, mark=mark)
    dates = {"issued_on": date(2024, 10, 20), "valid_until": date(2025, 10, 19)}
    actions.issue(page=page_of(road), by=by, **dates)
    carnet.refresh_from_db()
    return road, carnet


def passed(**changed: Any) -> Passed:
    known = {"on": date(2024, 11, 9), "place": "Newcastle", "country": "GB",
             "direction": "export", "stamped": True}  # fmt: skip
    return Passed(**(known | changed))

"""Writing plans: tours, day sheets, the rig plan, what travels."""

from collections.abc import Iterable
from typing import Any

from django.db import transaction

from collection.catalogue.models import Piece
from collection.custody.models import Place
from collection.ledger.actions import open_book
from collection.ledger.codes import following
from collection.ledger.errors import PlanRefused
from collection.ledger.presses import made_before, remember
from collection.road import standing
from collection.road.carnet.queries import issued_list
from collection.road.models import (
    RigPosition,
    Show,
    Tour,
    Travelling,
)
from registry.access.models import Collection, Membership


def add_tour(
    *,
    collection: Collection,
    by: Membership,
    name: str,
    code: str = "",
    places: Iterable[Place] = (),
    once: str = "",
    **when: Any,
) -> Tour:
    """A tour from one day to another (`starts_on`, `ends_on`), with its trucks and cases."""
    with open_book(collection, by):
        if made := made_before(collection, once):
            return Tour.objects.of(collection).get(code=made)
        if not code:
            taken = Tour.objects.of(collection).filter(code__startswith="T-")
            code = following("T", list(taken.values_list("code", flat=True)))
        tour = Tour.objects.create(collection=collection, code=code, name=name, **when)
        tour.places.set(places)
        remember(collection, once, code)
        return tour


@transaction.atomic
def change_tour(*, tour: Tour, places: Iterable[Place], once: str = "", **changes: Any) -> Tour:
    """Change a tour's name, days, carnet, and the trucks and cases that go with it."""
    for name, value in changes.items():
        setattr(tour, name, value)
    tour.save()
    tour.places.set(places)
    return tour


def add_show(
    *,
    collection: Collection,
    by: Membership,
    tour: Tour,
    venue: Place,
    number: int | None = None,
    code: str = "",
    once: str = "",
    **day_sheet: Any,
) -> Show:
    """A show of a tour at a venue on a day (`on`), with its day sheet in the venue's time."""
    with open_book(collection, by) as book:
        if made := made_before(collection, once):
            return Show.objects.of(collection).get(code=made)
        subject = book.new_subject("show", code)
        remember(collection, once, subject.code)
        if number is None:
            number = max(tour.shows.values_list("number", flat=True), default=0) + 1
        return Show.objects.create(
            subject=subject,
            collection=collection,
            code=subject.code,
            tour=tour,
            venue=venue,
            number=number,
            **day_sheet,
        )


@transaction.atomic
def change_day_sheet(*, show: Show, once: str = "", **changes: Any) -> Show:
    """Change a show's day, venue, times or supply."""
    for name, value in changes.items():
        setattr(show, name, value)
    show.save()
    return show


@transaction.atomic
def set_position(
    *,
    tour: Tour,
    number: int,
    name: str,
    piece: Piece | None = None,
    backup: Piece | None = None,
    **planned: Any,
) -> RigPosition:
    """Put a position on the rig plan, or change it; raises PlanRefused with every reason.

    A piece that was planned already is not asked about again: what became of it since is for
    the page of tonight to show.
    """
    before = RigPosition.objects.filter(tour=tour, number=number).first()
    known = {before.piece_id, before.backup_id} if before else set()
    wanted = [one for one in (piece, backup) if one is not None and one.pk not in known]
    refuse(wanted, same=piece is not None and piece == backup)
    position, _ = RigPosition.objects.update_or_create(
        tour=tour,
        number=number,
        defaults={"name": name, "piece": piece, "backup": backup, **planned},
    )
    return position


def refuse(wanted: list[Piece], *, same: bool = False) -> None:
    found = standing.reasons_against(wanted)
    if same:
        found = (*found, "A piece cannot stand behind itself.")
    if found:
        raise PlanRefused(found)


@transaction.atomic
def set_list(
    *, position: RigPosition, accepted: list[str], emergency: list[str], never: list[str]
) -> RigPosition:
    """The artist's list for a position: codes or designs, the best accepted first."""
    position.accepted, position.emergency, position.never = accepted, emergency, never
    position.save(update_fields=["accepted", "emergency", "never"])
    return position


@transaction.atomic
def carry_beside(*, position: RigPosition) -> RigPosition:
    """The backup stands at the side of the stage now."""
    position.stands = "side"
    position.save(update_fields=["stands"])
    return position


@transaction.atomic
def travel(*, tour: Tour, piece: Piece, on_carnet: bool = False) -> Travelling:
    """A piece goes with a tour, on the carnet's list or not.

    Once the carnet is issued its list decides, and nothing is added to it: raises PlanRefused.
    """
    issued = issued_list(tour)
    if issued is not None:
        if on_carnet and piece.code not in issued:
            raise PlanRefused(
                (f"The carnet is issued and {piece.code} is not on its list: nothing is added.",)
            )
        on_carnet = piece.code in issued
    return Travelling.objects.update_or_create(
        tour=tour, piece=piece, defaults={"on_carnet": on_carnet}
    )[0]


@transaction.atomic
def stay_home(*, tour: Tour, piece: Piece) -> None:
    """A piece goes with a tour no longer."""
    Travelling.objects.filter(tour=tour, piece=piece).delete()

"""Setting the carnet rule aside, with a reason in the book; and heeding it again."""

from dataclasses import replace

from django.core.exceptions import PermissionDenied

from collection.catalogue.models import Piece
from collection.core.events.noted import Noted
from collection.ledger.actions import open_book
from collection.ledger.telling import Telling
from collection.road.actions.evening import today_of
from collection.road.carnet.models import CarnetOverride
from collection.road.models import Tour
from registry.access.models import Membership


def set_aside(
    *, by: Membership, tour: Tour, piece: Piece, because: str, telling: Telling | None = None
) -> CarnetOverride:
    """Count a piece as a backup across the border although it is not on the carnet's list.

    Only a keeper may; raises PermissionDenied otherwise. The book notes who and why.
    """
    _keeper_only(by)
    told = _told(tour, because, telling)
    with open_book(tour.collection, by) as book:
        event = book.append(Noted(about=f"carnet rule set aside for {tour}"), piece.code, told)
        return CarnetOverride.objects.update_or_create(
            tour=tour, piece=piece,
            defaults={
                "collection": tour.collection, "because": because, "by": by.code,
                "at": book.now, "entry": event.sequence,
            },
        )[0]  # fmt: skip


def heed_again(
    *, by: Membership, tour: Tour, piece: Piece, because: str, telling: Telling | None = None
) -> None:
    """The carnet rule counts for the piece again, and the book says so."""
    _keeper_only(by)
    told = _told(tour, because, telling)
    with open_book(tour.collection, by) as book:
        book.append(Noted(about=f"carnet rule counts again for {tour}"), piece.code, told)
        CarnetOverride.objects.filter(tour=tour, piece=piece).delete()


def _told(tour: Tour, because: str, telling: Telling | None) -> Telling:
    telling = telling or Telling()
    words = " ".join(filter(None, (because, telling.words)))
    happened = telling.happened or today_of(tour.collection)
    return replace(telling, words=words, happened=happened)


def _keeper_only(by: Membership) -> None:
    if not by.keeps:
        raise PermissionDenied("Only a keeper of the collection sets the carnet rule aside.")

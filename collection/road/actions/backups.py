"""Writing backups: quotes, what was chosen, what others hold, planning figures."""

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from django.db import transaction

from collection.catalogue.models import Piece
from collection.core.events.noted import Noted
from collection.custody.models import Place
from collection.ledger.actions import open_book
from collection.ledger.codes import following
from collection.ledger.models import Event
from collection.ledger.telling import Telling
from collection.road.actions.evening import today_of
from collection.road.actions.plans import refuse
from collection.road.candidates import Known
from collection.road.models import (
    OutsideCandidate,
    RoadQuote,
    TransitFigures,
)
from collection.road.needs import Asked
from collection.road.overrides.actions import plan_backup
from collection.road.taken import about
from registry.access.models import Collection, Membership


@transaction.atomic
def add_quote(
    *,
    collection: Collection,
    by: Membership,
    to: Place,
    piece: Piece | None = None,
    outside: OutsideCandidate | None = None,
    **said: Any,
) -> RoadQuote:
    """A departure and arrival somebody gave by telephone, for a piece or for what others hold.

    `said`: what (a leg of the way), leaves_at, arrives_at, basis, and if known cost, told_by,
    authorised_by.
    """
    return RoadQuote.objects.create(
        collection=collection, piece=piece, outside=outside, to=to, noted_by=by.code, **said
    )


def choose_backup(
    *,
    collection: Collection,
    by: Membership,
    asked: Asked,
    known: Known,
    order: str,
    authorised_by: str,
    telling: Telling | None = None,
) -> Event:
    """Settle on a backup: the book notes the order and who authorised it, the plan takes it.

    For what somebody outside holds the note stands with the piece it stands in for.
    """
    own = known.as_quoted.get("piece")
    refuse([own] if own else [])
    telling = telling or Telling()
    words = " ".join(filter(None, (f"{order}. Authorised by {authorised_by}.", telling.words)))
    position = asked.position
    with open_book(collection, by) as book:
        if own and position is not None:
            plan_backup(position, own, known.candidate.stands)
        told = replace(telling, words=words, happened=telling.happened or today_of(collection))
        note = Noted(about=about(position, asked.piece.code))
        return book.append(note, (own or asked.piece).code, told)


@transaction.atomic
def add_outside_candidate(
    *, collection: Collection, name: str, kind: str, at: Place, held_by: str, **known: Any
) -> OutsideCandidate:
    """What somebody outside holds and might lend or hire out, with a telephone."""
    taken = OutsideCandidate.objects.of(collection).filter(code__startswith="OUT-")
    code = known.pop("code", "") or following("OUT", list(taken.values_list("code", flat=True)))
    return OutsideCandidate.objects.create(
        collection=collection, code=code, name=name, kind=kind, at=at, held_by=held_by, **known
    )


@transaction.atomic
def set_figures(*, collection: Collection, changed: Mapping[str, float]) -> TransitFigures:
    """Keep the planning figures that differ from their defaults."""
    return TransitFigures.objects.update_or_create(
        collection=collection, defaults={"changed": dict(changed)}
    )[0]

"""What is handed out of one piece: its page, its dossier, its Object ID sheet."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from typing import TYPE_CHECKING, Any

from collection.bench.originality.queries import known_of
from collection.catalogue import queries as catalogue
from collection.catalogue.models import Photo, Piece
from collection.core.wording import money
from collection.custody.whereabouts import whereabouts
from collection.ledger.models import Subject
from collection.papers.dossier.actions import make_dossier
from collection.papers.dossier.choice import Chosen, shown_photos, suggested
from collection.papers.dossier.contents import contents_of
from collection.papers.dossier.private import VALUE
from collection.papers.dossier.queries import history_of, shows_of, standing
from collection.papers.object_id.actions import make_sheet
from collection.papers.object_id.queries import object_id_of
from registry.access.models import Membership

if TYPE_CHECKING:
    from collection.papers.sharing.shareable import Order


def piece_of(subject: Subject) -> Piece:
    """The piece that a code means."""
    return catalogue.pieces(subject.collection).get(subject=subject)


def chosen_for(piece: Piece, by: Membership, *, for_whom: str, values: bool) -> Chosen:
    """What strangers may read of a history, and its valuations where these were chosen."""
    history = history_of(piece, by, whereabouts(by))
    choice = replace(suggested(history), for_whom=for_whom)
    if values:
        worth = {line.number for line in history.lines if line.private == (VALUE,)}
        choice = replace(choice, lines=choice.lines | worth)
    return Chosen(history, choice)


def dossier(order: Order) -> bytes:
    """The dossier with what is suggested to strangers."""
    chosen = chosen_for(
        piece_of(order.subject), order.by, for_whom=order.for_whom, values=order.values
    )
    return make_dossier(by=order.by, chosen=chosen, now=order.now, once=order.once).pdf


def object_id(order: Order) -> bytes:
    """The Object ID sheet."""
    today = order.now.astimezone(order.by.collection.zone_info).date()
    found = object_id_of(piece_of(order.subject), order.by, today=today)
    return make_sheet(by=order.by, found=found, now=order.now, once=order.once)


def page_of(subject: Subject, by: Membership, *, values: bool, now: datetime) -> dict[str, Any]:
    """One piece as strangers may read it now: the dossier's contents without its proof."""
    piece = piece_of(subject)
    chosen = chosen_for(piece, by, for_whom="", values=values)
    said = contents_of(
        chosen,
        known_of(piece, by),
        shows=shows_of(piece.collection),
        book=standing(piece.collection),
        today=now.astimezone(piece.collection.zone_info).date(),
    )
    worth = values and piece.value_minor is not None
    value = money(piece.value_minor, piece.value_currency) if worth else ""
    return said | {"piece": piece, "photos": chosen.photos, "value": value}


def photos_of(subject: Subject, by: Membership) -> list[Photo]:
    """The photos that stand on the page, in its order."""
    return shown_photos(catalogue.photos_of(subject, by))

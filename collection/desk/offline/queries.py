"""Which pages a member should have on the phone when the network goes."""

from collections.abc import Iterator
from datetime import datetime

from django.urls import reverse

from collection.catalogue.models import Piece
from collection.desk.tonight import next_show
from collection.road import queries as road
from collection.road.models import Show
from collection.road.needs import show_today
from registry.access.models import Membership

MOST = 160  # pages; at 40 kB each they are 6 MB on a phone


def show_to_come(member: Membership, *, now: datetime) -> Show | None:
    """Tonight's show, else the next one."""
    on = show_today(member.collection, now=now)
    return on or next_show(member.collection, now=now, after=None)


def pages_to_keep(member: Membership, show: Show | None) -> list[str]:
    """Addresses, the most wanted first, 160 at most; nothing with values or prices among them."""
    here = member.collection.slug
    pages = [reverse(f"desk:{name}", args=[here]) for name in ("tonight", "show_mode", "waiting")]
    if show:
        pages += _of_the_evening(here, show, writes=member.records)
        pieces = _pieces(show)
        pages += [reverse("bench:sheets", args=[here, piece.code]) for piece in pieces]
        if member.records:
            pages += _to_record(here, show, pieces)
    return list(dict.fromkeys(pages))[:MOST]


def _of_the_evening(here: str, show: Show, *, writes: bool) -> Iterator[str]:
    yield reverse("road:rig", args=[here, show.tour.code])
    yield reverse("road:grid", args=[here, show.code])
    yield reverse("road:stage", args=[here, show.code])
    yield reverse("road:show", args=[here, show.code])
    yield reverse("custody:map", args=[here])
    if writes:
        yield reverse("road:log_show", args=[here, show.code])
        yield reverse("bench:record_start", args=[here])
        yield reverse("desk:handover", args=[here])


def _pieces(show: Show) -> list[Piece]:
    """What is on the rig plan first, then what else travels."""
    plan = road.positions(show.collection).filter(tour=show.tour)
    rows = plan.select_related("piece__design", "backup__design").order_by("number")
    planned = [piece for row in rows for piece in (row.piece, row.backup) if piece]
    return list(dict.fromkeys([*planned, *(row.piece for row in road.travelling(show.tour))]))


def _to_record(here: str, show: Show, pieces: list[Piece]) -> Iterator[str]:
    """Record page, move and fault of every piece, then the moves of cases and trucks."""
    for piece in pieces:
        yield reverse("bench:record", args=[here, piece.code])
        yield reverse("custody:move", args=[here, piece.code])
    for piece in pieces:
        yield reverse("bench:record_kind", args=[here, piece.code, "faulted"])
    for place in show.tour.places.order_by("code"):
        yield reverse("custody:move", args=[here, place.code])

"""What both lists are computed from, read once."""

from dataclasses import dataclass
from datetime import date

from collection.bench import queries as bench
from collection.bench.due.queries import DueLine, due_lines
from collection.catalogue.models import Photo, Piece
from collection.core.wording import day
from collection.desk.due import coming_shows, uses_to_come
from collection.road import queries as road
from collection.road.models import RigPosition, Show, Tour
from collection.road.needs import positions_of
from registry.access.models import Collection


@dataclass(frozen=True)
class Gathered:
    """A tour with what travels, what is due until its end, and which photos there are."""

    tour: Tour
    today: date
    shows: tuple[Show, ...]
    positions: tuple[RigPosition, ...]
    pieces: tuple[Piece, ...]  # those that are here; `gone` went since the list was made
    gone: tuple[Piece, ...]
    on_carnet: frozenset[int]
    due: tuple[DueLine, ...]
    views: frozenset[tuple[int, str]]  # (piece, view) of every photo

    @property
    def collection(self) -> Collection:
        """The collection of the tour."""
        return self.tour.collection

    def of_kind(self, *kinds: str) -> list[Piece]:
        """What travels of these kinds."""
        return [piece for piece in self.pieces if piece.kind in kinds]


def gathered(tour: Tour, *, today: date) -> Gathered:
    """Everything of a tour; nine queries whatever its size."""
    travels = {row.piece_id: row.on_carnet for row in road.travelling(tour)}
    positions = positions_of(tour)
    planned = {p.pk for row in positions for p in (row.piece, row.backup) if p}
    rows = bench.pieces(tour.collection).filter(pk__in=[*travels, *planned]).order_by("code")
    every = list(rows.select_related("subject__state", "design", "circuit"))
    found = tuple(one for one in every if _standing(one) == "held")
    coming = uses_to_come(coming_shows(tour.collection, today=today))
    until = max(tour.ends_on, today)
    due = due_lines(tour.collection, found, coming=coming, today=today, until=until)
    views = Photo.objects.of(tour.collection).filter(subject__in=[one.pk for one in found])
    shows = road.shows(tour.collection).filter(tour=tour).order_by("on", "number")
    return Gathered(
        tour=tour,
        today=today,
        shows=tuple(shows),
        positions=tuple(positions),
        pieces=found,
        gone=tuple(one for one in every if _standing(one) != "held"),
        on_carnet=frozenset(pk for pk, listed in travels.items() if listed),
        due=tuple(one for one in due if one.due.standing in ("due", "coming")),
        views=frozenset(views.filter(taken_out_at=None).values_list("subject_id", "view")),
    )


def _standing(piece: Piece) -> str:
    state = getattr(piece.subject, "state", None)
    return state.standing if state else "held"


def named(piece: Piece) -> str:
    """Code and name."""
    return f"{piece.code} {piece.called}"


def worded(when: date) -> str:
    """A day in words."""
    return day(when, today=None)

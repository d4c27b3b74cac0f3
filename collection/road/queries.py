"""Reading the road: tours, shows, what travels, quotes, who died."""

from datetime import datetime
from typing import Any

from django.db.models import Count, Prefetch, Q, QuerySet

from collection.bench.models import Fault
from collection.catalogue.models import Piece, PieceKind
from collection.custody.models import Place
from collection.ledger.models import Event
from collection.ledger.queries import sentence_of, superseded
from collection.road.models import (
    Died,
    OutsideCandidate,
    RigPosition,
    RoadQuote,
    Session,
    Show,
    Tour,
    Travelling,
)
from collection.road.needs import NoNeed, current_tour
from registry.access.models import Collection


def tours(collection: Collection) -> QuerySet[Tour]:
    """Tours, the newest first, with how many shows each has."""
    return Tour.objects.of(collection).annotate(show_count=Count("shows"))


def tour(collection: Collection) -> QuerySet[Tour]:
    """Tours with their shows and the trucks and cases that go along."""
    shows = Show.objects.of(collection).select_related("venue", "subject__state")
    return Tour.objects.of(collection).prefetch_related(Prefetch("shows", shows), "places")


def shows(collection: Collection) -> QuerySet[Show]:
    """Shows with venue, tour and collection."""
    return Show.objects.of(collection).select_related(
        "venue", "tour", "collection", "subject__state"
    )


def positions(collection: Collection) -> QuerySet[RigPosition]:
    """Positions of every rig plan of a collection."""
    return RigPosition.objects.filter(tour__in=Tour.objects.of(collection)).select_related("tour")


def travelling(tour: Tour) -> QuerySet[Travelling]:
    """What travels with a tour, by code."""
    found = Travelling.objects.filter(tour=tour)
    return found.select_related("piece__design", "piece__subject__state").order_by("piece__code")


def deaths(collection: Collection) -> QuerySet[Died]:
    """Who died on stage, in the collection's shows."""
    found = Died.objects.filter(show__in=Show.objects.of(collection))
    return found.select_related("position__piece", "show__venue", "show__collection")


def silent_at(show: Show, position: int, *, at: datetime) -> Died | None:
    """Who was silent at a position of a show at a moment and still is."""
    found = deaths(show.collection).filter(show=show, position__number=position)
    return found.filter(sound_back_at=None, at__lte=at).first()


def faults(collection: Collection) -> QuerySet[Fault]:
    """Faults with their pieces."""
    return Fault.objects.of(collection).select_related("piece")


def places(collection: Collection) -> QuerySet[Place]:
    """Places a tour can play at or take along."""
    return Place.objects.of(collection).order_by("name")


def venues(collection: Collection) -> QuerySet[Place]:
    """Places that do not travel."""
    return places(collection).exclude(kind__in=[Place.Kind.TRUCK, Place.Kind.CASE])


def carriers(collection: Collection) -> QuerySet[Place]:
    """Trucks and cases."""
    return places(collection).filter(kind__in=[Place.Kind.TRUCK, Place.Kind.CASE])


def pieces(collection: Collection) -> QuerySet[Piece]:
    """Pieces by code, with what their names are made of."""
    return Piece.objects.of(collection).select_related("design", "circuit")


def outside(collection: Collection) -> QuerySet[OutsideCandidate]:
    """What others hold, with the place and the design."""
    return OutsideCandidate.objects.of(collection).select_related("at", "design")


def quotes(collection: Collection) -> QuerySet[RoadQuote]:
    """Quotes by telephone, the newest first."""
    return RoadQuote.objects.of(collection).select_related("piece", "outside", "to")


def wanted(collection: Collection, code: str, *, now: datetime) -> dict[str, Any]:
    """What a code asks for: a piece's code, or the number of a position. Raises NoNeed."""
    if code.isdigit():
        on = current_tour(collection, now=now)
        found = positions(collection).filter(tour=on, number=int(code)).first()
        if found is None:
            raise NoNeed(f"The tour that is on has no position {code}.")
        return {"position": found}
    piece = piece_for_need(collection).filter(code=code).first()
    if piece is None:
        raise NoNeed(f"No piece has the code {code}.")
    return {"piece": piece}


def piece_for_need(collection: Collection) -> QuerySet[Piece]:
    """Pieces with all that a need is made of."""
    return Piece.objects.of(collection).select_related(
        "design", "circuit", "twin", "subject__state"
    )


def sessions(collection: Collection, *, limit: int = 100) -> list[tuple[Session, str]]:
    """Sessions with what the book says of each, newest first; one withdrawn is left out."""
    rows = list(Session.objects.of(collection).select_related("subject")[:limit])
    played = Event.objects.of(collection).filter(
        ~superseded(), kind="played", subject__in=[row.pk for row in rows]
    )
    said = {event.subject_id: sentence_of(event) for event in played}
    return [(row, said[row.pk]) for row in rows if row.pk in said]


def pieces_that_run(collection: Collection) -> QuerySet[Piece]:
    """Pieces that are fed from the mains or have a chart: those whose hours count."""
    fed = Q(circuit__isnull=False) | Q(mains_volts__isnull=False) | Q(kind=PieceKind.AMPLIFIER)
    return pieces(collection).filter(fed).select_related("design").order_by("code")


def coming_shows(collection: Collection, tour: Tour | None, *, now: datetime) -> list[Show]:
    """Shows of a tour from today on; one query, none without a tour."""
    if tour is None:
        return []
    today = now.astimezone(collection.zone_info).date()
    return list(shows(collection).filter(tour=tour, on__gte=today))

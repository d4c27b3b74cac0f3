"""Single rows by what people call them, and what a form may offer."""

from django.db.models import QuerySet
from django.shortcuts import get_object_or_404

from collection.catalogue.models import Piece, Position
from collection.core.state import from_json
from collection.ledger.models import Event, State, Subject
from collection.stock.grades import in_order
from collection.stock.models import Lot, Part, PartType
from registry.access.models import Collection


def types_of(collection: Collection) -> QuerySet[PartType]:
    """Part types by code."""
    return PartType.objects.of(collection)


def type_named(collection: Collection, code: str) -> PartType:
    """The type with this code; raises Http404."""
    return get_object_or_404(types_of(collection), code=code)


def lot_named(collection: Collection, code: str) -> Lot:
    """The lot with this code, its type and state; raises Http404."""
    lots = Lot.objects.of(collection).select_related("type", "subject__state", "place__place_row")
    return get_object_or_404(lots, code=code)


def part_named(collection: Collection, code: str) -> Part:
    """The part with this code, its lot and state; raises Http404."""
    parts = Part.objects.of(collection).select_related("type", "lot", "subject__state")
    return get_object_or_404(parts, code=code)


def grades_for(collection: Collection, *kinds: PartType) -> tuple[str, ...]:
    """Grades a part of these types may be kept for, best first; 2 queries.

    The collection's own are those that positions it fits ask for, and those its lots ever had.
    """
    codes = {code for kind in kinds for code in (kind.code, *kind.same_as)}
    asking = Position.objects.filter(circuit__collection=collection).exclude(grade="")
    wanted = {place.grade for place in asking if codes & set(place.fits)}
    rows = State.objects.filter(subject__lot__type__in=kinds, collection=collection)
    held = {bucket.partition(":")[2] for row in rows for bucket, _ in from_json(row.detail).counts}
    return in_order(wanted | held)


def pieces_to_fit(collection: Collection) -> QuerySet[Piece]:
    """Pieces that a part can be fitted in."""
    return Piece.objects.of(collection).select_related("design", "circuit").order_by("code")


def piece_named(collection: Collection, code: str) -> Piece:
    """The piece with this code; raises Http404."""
    return get_object_or_404(pieces_to_fit(collection), code=code)


def parts_of(lot: Lot) -> QuerySet[Part]:
    """Parts of a lot that have a code of their own."""
    return Part.objects.filter(lot=lot).select_related("subject__state")


def newest_entry(part: Part) -> Event:
    """The entry written last that names a part."""
    named = Event.objects.of(part.collection).filter(mentions__subject=part.subject)
    return named.select_related("subject").latest("sequence")


def code_taken(collection: Collection, code: str) -> str:
    """What a code means already; '' when it is free."""
    found = Subject.objects.of(collection).filter(code=code).first()
    return found.kind if found else ""

"""Single rows by what people call them, and what a form may offer."""

from django.db.models import QuerySet
from django.shortcuts import get_object_or_404

from collection.catalogue.models import Piece
from collection.ledger.models import Subject
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


def pieces_to_fit(collection: Collection) -> QuerySet[Piece]:
    """Pieces that a part can be fitted in."""
    return Piece.objects.of(collection).select_related("design", "circuit").order_by("code")


def piece_named(collection: Collection, code: str) -> Piece:
    """The piece with this code; raises Http404."""
    return get_object_or_404(pieces_to_fit(collection), code=code)


def parts_of(lot: Lot) -> QuerySet[Part]:
    """Parts of a lot that have a code of their own."""
    return Part.objects.filter(lot=lot).select_related("subject__state")


def code_taken(collection: Collection, code: str) -> str:
    """What a code means already; '' when it is free."""
    found = Subject.objects.of(collection).filter(code=code).first()
    return found.kind if found else ""

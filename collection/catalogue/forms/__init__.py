"""Forms of the catalogue: pieces, photos, what was drawn."""

from collection.catalogue.forms.drawn import CircuitForm, DesignForm, MakerForm, PositionFormSet
from collection.catalogue.forms.photo import PhotoForm
from collection.catalogue.forms.piece import PieceForm
from collection.catalogue.photo_field import PhotoField

__all__ = [
    "CircuitForm",
    "DesignForm",
    "MakerForm",
    "PhotoField",
    "PhotoForm",
    "PieceForm",
    "PositionFormSet",
]

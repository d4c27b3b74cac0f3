"""What is asked during a stocktake."""

import secrets
from typing import Any

from django import forms

from collection.catalogue.photo_field import PhotoField
from collection.custody.models import Place
from collection.custody.stocktake import queries
from collection.custody.stocktake.models import Stocktake
from collection.custody.stocktake.signing import draw_of
from collection.ledger.forms import TellingForm
from collection.ledger.telling import Telling

THERE = [("yes", "it is there"), ("no", "not there")]


class AtForm(forms.Form):
    """Where inside the place it was seen; left open, it is anywhere in it."""

    at = forms.ChoiceField(required=False, label="Where in it")

    def __init__(self, *args: Any, stocktake: Stocktake, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        inside = queries.places_inside(stocktake.place)
        self.by_code: dict[str, Place] = {place.code: place for place in inside}
        named = [(p.code, f"{p.name} ({p.code})" if p.moves else p.name) for p in inside]
        self.fields["at"].choices = [("", "not said"), *named]
        if not named:
            del self.fields["at"]

    def clean_at(self) -> Place | None:
        """The place."""
        return self.by_code.get(self.cleaned_data["at"])


class MarkForm(AtForm):
    """Codes as they are typed, pasted or scanned, as many as there are."""

    codes = forms.CharField(
        max_length=8000,
        label="Codes seen",
        widget=forms.Textarea(attrs={"rows": 2, "autocapitalize": "characters"}),
        help_text="One or many: a7, A 007 and the address of a label all mean A-007.",
        error_messages={"required": "Type or scan a code."},
    )
    field_order = ("codes", "at")


class UnlabelledForm(AtForm):
    """Something that carries no label, or one that is no code of this collection."""

    words = forms.CharField(
        max_length=200, label="What it is", help_text="Make, kind, colour, what stands on it."
    )
    photo = PhotoField()
    once = forms.CharField(
        required=False, max_length=64, widget=forms.HiddenInput, initial=secrets.token_hex
    )
    field_order = ("words", "photo", "at")


class PictureForm(forms.Form):
    """A photo of the place as it was counted."""

    photo = PhotoField(required=True, label="A photo of the place as it stands")
    caption = forms.CharField(required=False, max_length=120, label="What it shows")


class CloseForm(forms.Form):
    """What is said of the count as a whole."""

    words = forms.CharField(
        required=False, max_length=4000, label="In your words",
        widget=forms.Textarea(attrs={"rows": 2}),
    )  # fmt: skip
    once = forms.CharField(
        required=False, max_length=64, widget=forms.HiddenInput, initial=secrets.token_hex
    )

    def telling(self) -> Telling:
        """The words, and the press they came with; whoever closes it has seen it."""
        given = self.cleaned_data
        return Telling(words=given["words"], once=given["once"] or None)


class GiveUpForm(forms.Form):
    """Why a count ends without a result."""

    because = forms.CharField(max_length=200, label="Why it is given up")


class PhotosForm(TellingForm):
    """Signed from the photos."""


class RecountForm(TellingForm):
    """The drawn ones, each there or not."""

    def __init__(self, *args: Any, stocktake: Stocktake, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.drawn = draw_of(stocktake)
        for code in self.drawn:
            self.fields[code] = forms.ChoiceField(
                choices=THERE, widget=forms.RadioSelect, label=code,
                error_messages={"required": f"Say of {code} whether it is there."},
            )  # fmt: skip
        self.order_fields([*self.drawn, "words"])

    def there(self) -> dict[str, bool]:
        """Code to whether it is there."""
        return {code: self.cleaned_data[code] == "yes" for code in self.drawn}

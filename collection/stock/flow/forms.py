"""Which moment of a lot is looked at, and which units are kept out."""

from datetime import date
from typing import Any

from django import forms

from collection.stock.forms.lot import LotActForm, bucket_field, units_field

BACK = "back"


class AsOfForm(forms.Form):
    """The day a lot is looked at."""

    at = forms.DateField(
        required=False, label="As of", widget=forms.DateInput(attrs={"type": "date"}),
        error_messages={"invalid": "This is no day. Pick one, or write it as 2024-01-20."},
    )  # fmt: skip

    def __init__(self, *args, today: date, **kwargs) -> None:
        super().__init__(*args, **kwargs)
        self.today = today
        self.fields["at"].widget.attrs["max"] = today.isoformat()

    def clean_at(self) -> date | None:
        """A day that has come already: the book knows nothing of those to come."""
        day = self.cleaned_data["at"]
        if day and day > self.today:
            raise forms.ValidationError("This day has not come yet; the page shows today.")
        return day


class KeepOutForm(LotActForm):
    """Units are kept out for a piece or for another reason, or go back on the shelf."""

    units = units_field("How many")
    bucket = bucket_field("Out of")
    piece = forms.ModelChoiceField(
        queryset=None, to_field_name="code", required=False, label="Kept for",
        help_text="The piece whose original it is.",
    )  # fmt: skip
    because = forms.CharField(max_length=160, required=False, label="Why")

    def __init__(self, *args, pieces, **kwargs) -> None:
        super().__init__(*args, **kwargs)
        held = self.held.counts.get("kept-out", 0)
        back = [(BACK, f"kept out, {held} in the book: back on the shelf, sealed")] if held else []
        self.fields["bucket"].choices = [*self.buckets("sealed", "tested", "pulled"), *back]
        self.fields["piece"].queryset = pieces

    def clean(self) -> dict[str, Any]:
        """More than the book has is asked about."""
        given = super().clean()
        bucket = "kept-out" if given.get("bucket") == BACK else given.get("bucket", "")
        self.ask_beyond("units", bucket, given.get("units"))
        return given

    def act(self) -> dict[str, Any]:
        """How many, out of what, for which piece, why."""
        given = self.cleaned_data
        told = {name: given[name] for name in ("units", "piece", "because")}
        if given["bucket"] == BACK:
            return told | {"bucket": "kept-out", "back_to": "sealed"}
        return told | {"bucket": given["bucket"]}

"""The form of a position on one night."""

from typing import Any

from django import forms

from collection.road import queries
from collection.road.forms import ByCode
from registry.access.models import Collection


class OverrideForm(forms.Form):
    """What plays instead, what stands behind it, who works it, and why."""

    piece = ByCode(required=False, label="Own piece that plays", empty_label="as planned")
    outside = ByCode(required=False, label="Or hired", empty_label="nothing hired")
    backup = ByCode(required=False, label="Backup of the night", empty_label="as planned")
    who = forms.CharField(required=False, max_length=80, label="Who works it, if somebody else")
    because = forms.CharField(max_length=200, label="Why")

    def __init__(self, *args: Any, collection: Collection, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name in ("piece", "backup"):
            self.fields[name].queryset = queries.pieces(collection)
        self.fields["outside"].queryset = queries.outside(collection)

    def clean(self) -> dict[str, Any]:
        """Something must be otherwise, and only one thing can play."""
        given = super().clean()
        if given.get("piece") and given.get("outside"):
            self.add_error("outside", "Either an own piece plays or something hired, not both.")
        if not any(given.get(name) for name in ("piece", "outside", "backup", "who")):
            raise forms.ValidationError("Nothing is otherwise than planned.")
        return given

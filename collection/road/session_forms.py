"""Forms of hours on that were no show."""

from typing import Any

from django import forms
from django.db.models import QuerySet

from collection.catalogue.models import Piece
from collection.core.events.played import LEFT_ON
from collection.ledger.forms import TellingForm
from collection.road.models import Session


class SessionForm(TellingForm):
    """Which pieces ran, for how long on either clock."""

    kind = forms.ChoiceField(choices=Session.Kind.choices, label="It was",
                             initial=Session.Kind.REHEARSAL, widget=forms.RadioSelect)  # fmt: skip
    pieces = forms.ModelMultipleChoiceField(
        queryset=None, to_field_name="code", label="With", widget=forms.CheckboxSelectMultiple
    )
    heater_hours = forms.DecimalField(
        min_value=0, max_value=240, decimal_places=2, label="Hours, heaters on"
    )
    ht_hours = forms.DecimalField(
        required=False, min_value=0, max_value=240, decimal_places=2,
        label="Hours, high tension on",
    )  # fmt: skip

    field_order = ("kind", "pieces", "heater_hours", "ht_hours", "words")

    def __init__(self, *args: Any, pieces: QuerySet[Piece], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["pieces"].queryset = pieces
        self.fields["pieces"].label_from_instance = lambda piece: f"{piece.code} {piece.called}"

    def clean(self) -> dict[str, Any]:
        """High tension is never on longer than the heaters, and never on what was left on."""
        given = super().clean()
        heater, ht = given.get("heater_hours"), given.get("ht_hours")
        if ht and heater is not None and ht > heater:
            self.add_error("ht_hours", "High tension cannot be on longer than the heaters.")
        if ht and given.get("kind") == LEFT_ON:
            self.add_error("ht_hours", "Left on counts the heaters only; leave this empty.")
        return given

    def act(self) -> dict[str, Any]:
        """What `log_session` is told."""
        given = self.cleaned_data
        return {
            "kind": given["kind"],
            "pieces": [piece.code for piece in given["pieces"]],
            "heater_hours": _text(given["heater_hours"]),
            "ht_hours": _text(given["ht_hours"]),
        }


def _text(number: Any) -> str:
    return "" if number is None else f"{number.normalize():f}"

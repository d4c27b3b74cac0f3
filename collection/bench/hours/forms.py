"""The form of a meter reading."""

from collections.abc import Mapping
from decimal import Decimal
from typing import Any

from django import forms

from collection.bench.hours.queries import CLOCKS
from collection.core.odd_reading import odd_meter
from collection.ledger.asking import AskingForm
from collection.ledger.forms import TellingForm


class MeterForm(AskingForm, TellingForm):
    """What the meter says, and which clock it runs on."""

    hours = forms.DecimalField(
        min_value=0, max_digits=9, decimal_places=2, label="The meter says, hours"
    )
    clock_of = forms.ChoiceField(
        choices=CLOCKS, initial="heater", label="It counts", widget=forms.RadioSelect
    )
    replaced = forms.BooleanField(required=False, label="Another meter, or set back to nought")
    old_read = forms.DecimalField(
        required=False, min_value=0, max_digits=9, decimal_places=2,
        label="What the old one said last",
    )  # fmt: skip

    field_order = ("hours", "clock_of", "replaced", "old_read", "words")

    def __init__(self, *args: Any, meters: Mapping[str, str], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.meters = meters

    def clean(self) -> dict[str, Any]:
        """What went back or jumped is asked once; the old meter is asked where it was replaced."""
        given = super().clean()
        name = "old_read" if given.get("replaced") else "hours"
        last, said = self.meters.get(given.get("clock_of", "")), given.get(name)
        if last and said is not None:
            self.ask(name, odd_meter(said, last=Decimal(last)))
        return given

    def act(self) -> dict[str, Any]:
        """What `read_meter` is told."""
        given = self.cleaned_data
        old = given["old_read"]
        return {
            "hours": f"{given['hours'].normalize():f}",
            "clock_of": given["clock_of"],
            "replaced": given["replaced"],
            "old_read": "" if old is None else f"{old.normalize():f}",
        }

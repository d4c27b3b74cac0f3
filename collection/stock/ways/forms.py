"""A way put together by hand, and the name it is kept under."""

from decimal import Decimal
from typing import Any

from django import forms

from collection.core.wording import MINOR_DIGITS
from collection.stock.forecast import Prospect
from collection.stock.ways.way import Way, in_use, near_types, twins
from collection.stock.what_if import units_bought

MOST = 100_000


class WayForm(forms.Form):
    """What would be done; every field left empty stays as it is."""

    pull = forms.IntegerField(required=False, min_value=1, max_value=MOST, label="Pull after")
    fails = forms.BooleanField(required=False, label="Run until they fail")
    burn_in = forms.FloatField(
        required=False, min_value=0, max_value=1000, label="Burn in on the bench, hours",
        help_text="Early deaths then happen there; it uses hours up.",
    )  # fmt: skip
    rest = forms.MultipleChoiceField(
        required=False, label="Rest", widget=forms.CheckboxSelectMultiple
    )
    fewer = forms.ChoiceField(required=False, label="One fewer on tour, taking turns")
    near = forms.ChoiceField(required=False, label="A near type for a position")
    buy = forms.IntegerField(
        required=False, min_value=-MOST, max_value=MOST, label="Buy",
        help_text="Below nought: lose so many.",
    )  # fmt: skip
    price = forms.DecimalField(
        required=False, min_value=0, max_digits=12, label="Price of all of them"
    )
    shows = forms.FloatField(required=False, min_value=0, max_value=366 * 3, label="Shows a year")
    reserve = forms.BooleanField(required=False, label="Count the pulled reserve too")

    def __init__(self, *args, prospect: Prospect, currency: str, **kwargs) -> None:
        super().__init__(*args, **kwargs)
        self.digits = MINOR_DIGITS.get(currency, 2)
        lead = prospect.stock.lead
        self.fields["pull"].label = f"Pull after, {'hours' if lead.unit == 'h' else lead.unit}"
        self.fields["buy"].label = f"Buy, {units_bought(lead)}"
        self.fields["price"].label += f", {currency}"
        self._offer("rest", in_use(prospect), none=False)
        self._offer("fewer", [(called, called) for called, _ in twins(prospect)])
        self._offer("near", near_types(prospect))

    def _offer(self, name: str, choices: list[tuple[str, str]], *, none: bool = True) -> None:
        """A choice with nothing in it is not asked."""
        if choices:
            self.fields[name].choices = [*([("", "as it is")] if none else []), *choices]
        else:
            del self.fields[name]

    def clean(self) -> dict[str, Any]:
        """The price in minor units; a price is of something bought."""
        given = super().clean()
        if given.get("price") is not None:
            minor = given["price"].scaleb(self.digits)
            if minor != minor.to_integral_value():
                self.add_error("price", f"No more than {self.digits} figures after the point.")
            if not (given.get("buy") or 0) > 0 and "buy" not in self.errors:
                self.add_error("price", "Say how many it buys.")
        return given

    @property
    def way(self) -> Way:
        """What would be done."""
        given = dict(self.cleaned_data)
        price: Decimal | None = given.pop("price", None)
        given["price_minor"] = None if price is None else int(price.scaleb(self.digits))
        if given.pop("fails"):
            given["pull"] = "fails"
        return Way.read(given)


class KeepForm(forms.Form):
    """The name a way is kept under, and why."""

    name = forms.CharField(
        max_length=60, label="Name of the plan",
        error_messages={"required": "Give it a name to find it by."},
    )  # fmt: skip
    because = forms.CharField(max_length=200, required=False, label="Why")

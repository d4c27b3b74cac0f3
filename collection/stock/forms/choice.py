"""What a person decides or wonders: when to pull, what is assumed, what would be if."""

from typing import Any

from django import forms

from collection.stock.models import Outlook

FAILS = "fails"


class PullChoiceForm(forms.Form):
    """When a type is pulled; nothing is ticked for anybody, and a reason is asked."""

    pull = forms.CharField(required=False, max_length=12)
    other_hours = forms.IntegerField(
        required=False, min_value=1, max_value=100_000, label="or after so many hours"
    )
    because = forms.CharField(
        max_length=200, label="Why this one",
        error_messages={"required": "Say why in a few words; it stands beside your name."},
    )  # fmt: skip

    def clean(self) -> dict[str, Any]:
        """Exactly one choice, in hours or until it fails."""
        given = super().clean()
        picked, other = given.get("pull", ""), given.get("other_hours")
        ticked = picked == FAILS or (picked.isdecimal() and int(picked) > 0)
        if other is None and not ticked and "other_hours" not in self.errors:
            self.add_error("pull", "Tick one of the columns, or give the hours yourself.")
        return given

    @property
    def pull_hours(self) -> int | None:
        """Hours; None: until it fails. Hours given by hand go before a tick."""
        given = self.cleaned_data
        if given["other_hours"] is not None:
            return given["other_hours"]
        return None if given["pull"] == FAILS else int(given["pull"])


class OutlookForm(forms.ModelForm):
    """What is assumed of a type beyond its log; left empty, the log speaks."""

    class Meta:
        model = Outlook
        fields = (
            "shows_per_year", "hours_per_show", "passes_test", "shelf_loss_per_year",
            "bulk_losses_per_year", "bulk_loss_share", "assumed_shape", "assumed_scale_hours",
            "alarm_years", "alarm_units",
        )  # fmt: skip
        labels = {
            "shows_per_year": "Shows a year",
            "hours_per_show": "Hours on a show",
            "passes_test": "Share of sealed ones that pass, 0 to 1",
            "shelf_loss_per_year": "Lost on the shelf a year, as a share",
            "bulk_losses_per_year": "Mishaps a year that take many at once",
            "bulk_loss_share": "Share that such a mishap takes, 0 to 1",
            "assumed_shape": "Assumed life: Weibull shape",
            "assumed_scale_hours": "Assumed life: Weibull scale, hours",
            "alarm_years": "Warn below so many years",
            "alarm_units": "Warn below so many that can go on stage",
        }
        help_texts = {"assumed_scale_hours": "Used while fewer than five deaths are logged."}

    def __init__(self, *args, **kwargs) -> None:
        super().__init__(*args, **kwargs)
        for field in self.fields.values():
            field.required = False
            field.min_value = 0

    def clean(self) -> dict[str, Any]:
        """Within what the forecast takes; left empty, losses are nought."""
        given = super().clean()
        for name in ("shelf_loss_per_year", "bulk_losses_per_year", "bulk_loss_share"):
            given[name] = given.get(name) or 0.0
        for name, value in list(given.items()):
            if value is not None and value < 0:
                self.add_error(name, "This cannot be below nought.")
        self._at_most("passes_test", 1, least=0)
        self._at_most("bulk_loss_share", 1)
        self._at_most("hours_per_show", 24, least=0)
        self._above_nought("assumed_shape", "assumed_scale_hours")
        return given

    def _at_most(self, name: str, most: float, *, least: float | None = None) -> None:
        value = self.cleaned_data.get(name)
        if value is not None and (value > most or value == least):
            low = "above 0" if least is not None else "from 0"
            self.add_error(name, f"This is {low} and at most {most}.")

    def _above_nought(self, *names: str) -> None:
        for name in names:
            if self.cleaned_data.get(name) == 0:
                self.add_error(name, "This is above nought.")


class WhatIfForm(forms.Form):
    """What would be if; every field left empty stays as it is."""

    shows = forms.FloatField(required=False, min_value=0, max_value=366 * 3, label="Shows a year")
    pull = forms.IntegerField(
        required=False, min_value=1, max_value=100_000, label="Pull after, hours"
    )
    fails = forms.BooleanField(required=False, label="Run until they fail")
    buy = forms.IntegerField(
        required=False, min_value=-10_000, max_value=10_000,
        label="Buy", help_text="Below nought: lose so many.",
    )  # fmt: skip
    rest = forms.MultipleChoiceField(
        required=False, label="Rest", widget=forms.CheckboxSelectMultiple
    )
    reserve = forms.BooleanField(required=False, label="Count the pulled reserve too")

    def __init__(self, *args, pieces: list[tuple[str, str]], unit: str, **kwargs) -> None:
        super().__init__(*args, **kwargs)
        self.fields["buy"].label = f"Buy, {unit}"
        self.fields["rest"].choices = pieces
        if not pieces:
            del self.fields["rest"]

    @property
    def asks(self) -> bool:
        """Whether anything is asked at all."""
        return any(value not in (None, "", False, []) for value in self.cleaned_data.values())

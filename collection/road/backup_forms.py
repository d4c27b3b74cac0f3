"""Forms of backups: quotes, choosing, planning figures, what others hold."""

from typing import Any
from zoneinfo import ZoneInfo

from django import forms

from collection.catalogue.models import PieceKind
from collection.core.transit import LEGS
from collection.road import queries
from collection.road.figures import Figure, rules_with
from collection.road.forms import ByCode
from collection.road.models import RoadQuote
from registry.access.models import Collection

DAY = forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")
MOMENT = forms.DateTimeInput(attrs={"type": "datetime-local"}, format="%Y-%m-%dT%H:%M")
MOMENTS = ("%Y-%m-%dT%H:%M", "%Y-%m-%dT%H:%M:%S")


class QuoteForm(forms.Form):
    """What somebody said on the telephone about one leg of the way."""

    what = forms.ChoiceField(label="Which leg", choices=[(leg, leg) for leg in LEGS])
    leaves_at = forms.DateTimeField(label="Leaves", widget=MOMENT, input_formats=MOMENTS)
    arrives_at = forms.DateTimeField(label="Arrives", widget=MOMENT, input_formats=MOMENTS)
    basis = forms.ChoiceField(
        label="How firm",
        choices=RoadQuote.Basis.choices,
        initial="quoted",
        widget=forms.RadioSelect,
    )
    told_by = forms.CharField(required=False, max_length=80, label="Who said so")
    cost = forms.CharField(required=False, max_length=60, label="What it costs")
    authorised_by = forms.CharField(required=False, max_length=80, label="Who authorised it")

    def __init__(self, *args: Any, zone: ZoneInfo, place: str, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.zone = zone
        self.fields["arrives_at"].help_text = f"Both times on the clock of {place}."

    def clean(self) -> dict[str, Any]:
        """Times as typed, on the clock of the place; arriving comes after leaving."""
        given = super().clean()
        for name in ("leaves_at", "arrives_at"):
            if given.get(name):
                given[name] = given[name].replace(tzinfo=self.zone)
        leaves, arrives = given.get("leaves_at"), given.get("arrives_at")
        if leaves and arrives and arrives <= leaves:
            self.add_error("arrives_at", "It would arrive before it leaves.")
        return given


class FiguresForm(forms.Form):
    """The planning figures; a field left as the default stays the default."""

    def __init__(self, *args: Any, figures: list[Figure], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.figures = figures
        for one in figures:
            self.fields[one.name] = forms.FloatField(
                min_value=0,
                label=f"{one.words}, {one.unit}",
                initial=one.value,
                help_text=f"Default {one.default:g}: {one.basis}.",
            )

    def clean(self) -> dict[str, Any]:
        """Figures that together cannot be are refused with the reason."""
        given = super().clean()
        if not self.errors:
            try:
                rules_with(self.changed_figures())
            except ValueError as error:
                raise forms.ValidationError(str(error)) from error
        return given

    def changed_figures(self) -> dict[str, float]:
        """The figures that differ from their defaults; whole days stay whole."""
        given = self.cleaned_data
        return {
            one.name: int(given[one.name]) if one.name.endswith("_days") else given[one.name]
            for one in self.figures
            if given.get(one.name) is not None and given[one.name] != one.default
        }


class OutsideForm(forms.Form):
    """What a hire house, promoter or local owner holds."""

    name = forms.CharField(max_length=80, label="What it is")
    kind = forms.ChoiceField(choices=PieceKind.choices, label="Kind")
    held_by = forms.CharField(max_length=80, label="Who holds it")
    phone = forms.CharField(required=False, max_length=40, label="Telephone")
    at = ByCode(label="Where")
    mains_volts = forms.IntegerField(
        required=False, min_value=90, max_value=480, label="Mains, volts"
    )
    mains_hz = forms.CharField(required=False, max_length=12, label="Mains, hertz")
    price = forms.CharField(required=False, max_length=60, label="Price")
    confirmed_on = forms.DateField(required=False, label="Confirmed on", widget=DAY)

    def __init__(self, *args: Any, collection: Collection, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["at"].queryset = queries.venues(collection)

"""What is asked when something is handed to a carrier."""

from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

from django import forms

from collection.core.freight import CAUTIONS
from collection.custody.choices import NOT_SAID, party_choices, place_choices
from collection.custody.freight import actions, queries
from collection.custody.freight.models import Shipment
from collection.custody.models import Party
from collection.custody.whereabouts import whereabouts
from collection.ledger.forms import OnceForm, WritingForm

MOMENT = forms.DateTimeInput(attrs={"type": "datetime-local"}, format="%Y-%m-%dT%H:%M")
MOMENTS = ("%Y-%m-%dT%H:%M", "%Y-%m-%dT%H:%M:%S")


class ShipForm(WritingForm):
    """Pieces and cases go with somebody who brings them."""

    things = forms.MultipleChoiceField(label="Pieces and cases")
    origin = forms.ChoiceField(required=False, label="From")
    to = forms.ChoiceField(label="To")
    expected_at = forms.DateTimeField(
        label="Expected there", widget=MOMENT, input_formats=MOMENTS,
        help_text="On the clock of where it goes.",
    )  # fmt: skip
    carrier = forms.ChoiceField(required=False, label="Carrier")
    carrier_words = forms.CharField(
        max_length=80, required=False, label="Or who else brings it", help_text="A taxi, a runner."
    )
    phone = forms.CharField(max_length=40, required=False, label="Telephone on the way")
    waybill = forms.CharField(max_length=60, required=False, label="Waybill or tracking number")
    crosses = forms.CharField(
        max_length=80, required=False, label="Countries passed, in order",
        help_text="Two letters each: GB NO. Empty: from and to.",
    )  # fmt: skip
    cautions = forms.MultipleChoiceField(
        choices=list(CAUTIONS.items()), required=False, label="Inside is",
        widget=forms.CheckboxSelectMultiple,
    )  # fmt: skip
    basis = forms.ChoiceField(
        choices=Shipment.Basis.choices, initial="quoted", label="How firm is the time",
        widget=forms.RadioSelect,
    )  # fmt: skip

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.known = whereabouts(self.member)
        offered = place_choices(self.collection, self.known)
        self.fields["to"].choices = [("", "choose"), *offered]
        self.fields["origin"].choices = [NOT_SAID, *offered]
        who = party_choices(self.collection, "carrier", "driver", "hire", "promoter")
        self.fields["carrier"].choices = [NOT_SAID, *who]
        self.fields["things"].choices = [
            (one.code, _called(one)) for one in queries.shippable(self.collection)
        ]

    def clean_crosses(self) -> tuple[str, ...]:
        """Countries by two letters."""
        said = self.cleaned_data["crosses"].replace(",", " ").upper().split()
        if wrong := [one for one in said if len(one) != 2 or not one.isalpha()]:
            raise forms.ValidationError(f"Two letters each, such as NO; not {wrong[0]}.")
        return tuple(said)

    def clean(self) -> dict[str, Any]:
        """The arrival is on the clock of where it goes, and still to come."""
        given = super().clean()
        place = self.known.by_code.get(given.get("to", ""))
        if place and given.get("expected_at"):
            zone = ZoneInfo(place.nearest("zone") or self.collection.zone)
            given["expected_at"] = given["expected_at"].replace(tzinfo=zone)
            if given["expected_at"] <= self.now:
                self.add_error("expected_at", "This has passed already on the clock there.")
        return given

    def write(self, **how: Any) -> Shipment:
        """Write that it left."""
        said = self.cleaned_data
        parties = Party.objects.of(self.collection)
        origin, to = (self.known.by_code.get(said[name]) for name in ("origin", "to"))
        way = actions.Way(
            to=to, origin=origin, expected_at=said["expected_at"], left_at=self.now,
            carrier=parties.filter(code=said["carrier"]).first() if said["carrier"] else None,
            crosses=said["crosses"] or _between(origin, to), cautions=tuple(said["cautions"]),
            **{name: said[name] for name in ("carrier_words", "phone", "waybill", "basis")},
        )  # fmt: skip
        return actions.ship(
            collection=self.collection, by=self.member, things=said["things"], way=way, **how
        )


def _called(subject) -> str:
    piece = getattr(subject, "piece", None)
    return f"{subject.code} {piece.called if piece else subject.place_row.name}"


def _between(origin, to) -> tuple[str, ...]:
    """Both countries when they differ."""
    ends = [place.nearest("country") for place in (origin, to) if place]
    return tuple(ends) if all(ends) and len(set(ends)) > 1 else ()


class ExpectForm(OnceForm):
    """It is expected at another time."""

    at = forms.DateTimeField(label="Now expected", widget=MOMENT, input_formats=MOMENTS)
    why = forms.CharField(max_length=200, required=False, label="Who says so, and why")

    def at_in(self, zone: ZoneInfo) -> datetime:
        """The time on the clock of where it goes."""
        return self.cleaned_data["at"].replace(tzinfo=zone)

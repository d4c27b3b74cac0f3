"""What is asked at the truck door."""

from typing import Any

from django import forms

from collection.custody.models import Place
from collection.road.doors.models import DoorCount
from collection.road.forms import Lines
from collection.road.models import Show


class StartForm(forms.Form):
    """Which truck is counted."""

    truck = forms.ChoiceField(label="Truck", widget=forms.RadioSelect)

    def __init__(self, *args: Any, show: Show, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        along = show.tour.places.all()
        self.trucks = {place.code: place for place in along if place.kind == Place.Kind.TRUCK}
        self.fields["truck"].choices = [(code, place.name) for code, place in self.trucks.items()]
        self.fields["truck"].initial = next(iter(self.trucks), None)

    def clean_truck(self) -> Place:
        """The truck itself."""
        return self.trucks[self.cleaned_data["truck"]]


class TapForm(forms.Form):
    """One tap: a tile counted, or open again."""

    code = forms.CharField(max_length=40)
    undo = forms.BooleanField(required=False)


class CloseForm(forms.Form):
    """What was looked for and not found; the rest of what is open says nothing."""

    missed = forms.MultipleChoiceField(
        required=False, label="Looked for and not found", widget=forms.CheckboxSelectMultiple
    )

    def __init__(self, *args: Any, count: DoorCount, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["missed"].choices = [(row["code"], row["name"]) for row in count.tiles]


class ShareForm(forms.Form):
    """For whom a link is."""

    label = forms.CharField(max_length=80, label="For whom", initial="local hands")


class WalkForm(forms.Form):
    """The places of the walk, one a line."""

    spots = Lines(required=False, max_length=2000, label="Where to look, one a line")

    def clean_spots(self) -> list[str]:
        """Each place once, none longer than a line."""
        spots = list(dict.fromkeys(self.cleaned_data["spots"]))
        if long := [spot for spot in spots if len(spot) > 80]:
            raise forms.ValidationError(f"Longer than 80 letters: {long[0][:40]}…")
        return spots

"""Forms of the road: tours, day sheets, positions, what is travelling, shows, quotes, figures."""

from datetime import datetime
from typing import Any

from django import forms

from collection.ledger import phone
from collection.ledger.forms import OnceForm, TellingForm
from collection.ledger.presses import made_before
from collection.ledger.telling import Telling
from collection.road import queries
from collection.road.logged import Proposal
from collection.road.models import RigPosition
from registry.access.models import Collection

DAY = forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")
TIME = forms.TimeInput(attrs={"type": "time"}, format="%H:%M")
TROUBLE = "trouble during the show"


class Lines(forms.CharField):
    """A list of texts, one a line."""

    widget = forms.Textarea(attrs={"rows": 3})

    def prepare_value(self, value: Any) -> Any:
        return "\n".join(map(str, value)) if isinstance(value, list) else value

    def clean(self, value: str) -> list[str]:
        return [line.strip() for line in super().clean(value).splitlines() if line.strip()]


class ByCode(forms.ModelChoiceField):
    """One row of the collection, chosen by its code."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(queryset=None, to_field_name="code", **kwargs)

    def prepare_value(self, value: Any) -> Any:
        return value.code if hasattr(value, "code") else value


class TourForm(OnceForm):
    """A tour: its days, whether a carnet covers it, and the trucks and cases that go along."""

    name = forms.CharField(max_length=80, label="Name")
    starts_on = forms.DateField(label="First day", widget=DAY)
    ends_on = forms.DateField(label="Last day", widget=DAY)
    carnet = forms.BooleanField(required=False, label="A carnet covers it")
    places = forms.ModelMultipleChoiceField(
        queryset=None,
        to_field_name="code",
        required=False,
        label="Trucks and cases that go along",
        widget=forms.CheckboxSelectMultiple,
        help_text="They are wherever the tour is on that day, and so is what is in them.",
    )

    def __init__(self, *args: Any, collection: Collection, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["places"].queryset = queries.carriers(collection)

    def clean(self) -> dict[str, Any]:
        """A tour ends after it starts."""
        given = super().clean()
        first, last = given.get("starts_on"), given.get("ends_on")
        if first and last and last < first:
            self.add_error("ends_on", "The tour would end before it starts.")
        return given


class ShowForm(OnceForm):
    """A show with its day sheet."""

    number = forms.IntegerField(min_value=1, max_value=999, label="Number of the show")
    venue = ByCode(label="Venue")
    on = forms.DateField(label="Day", widget=DAY)
    load_in = forms.TimeField(required=False, label="Load-in", widget=TIME)
    line_check = forms.TimeField(required=False, label="Line check", widget=TIME)
    doors = forms.TimeField(required=False, label="Doors", widget=TIME)
    on_stage = forms.TimeField(required=False, label="On stage", widget=TIME)
    off_stage = forms.TimeField(
        required=False,
        label="Off stage",
        widget=TIME,
        help_text="All times on the venue's clock; one earlier than load-in is after midnight.",
    )
    curfew = forms.TimeField(required=False, label="Curfew", widget=TIME)
    leg = forms.CharField(required=False, max_length=40, label="Leg of the tour")
    fly_date = forms.BooleanField(required=False, label="A fly date: the truck stays behind")
    mains_volts = forms.IntegerField(
        required=False,
        min_value=90,
        max_value=480,
        label="Mains, volts",
        help_text="Left blank on a new show: as the table of countries has it.",
    )
    mains_hz = forms.TypedChoiceField(
        required=False,
        coerce=int,
        empty_value=None,
        choices=[("", "not known"), ("50", "50 Hz"), ("60", "60 Hz")],
        label="Mains, hertz",
    )

    def __init__(self, *args: Any, collection: Collection, taken=(), **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.collection, self.taken = collection, set(taken)
        self.fields["venue"].queryset = queries.venues(collection)

    def clean_number(self) -> int:
        """A number stands for one show of the tour; a second tap finds the show it made."""
        number = self.cleaned_data["number"]
        again = made_before(self.collection, self.data.get("once", ""))
        if number in self.taken and not again:
            raise forms.ValidationError(f"The tour has a show {number} already.")
        return number


class PositionForm(forms.Form):
    """A position of the rig plan."""

    name = forms.CharField(max_length=60, label="Position", help_text="As on stage: steel amp.")
    piece = ByCode(required=False, label="Piece that plays", empty_label="none yet")
    backup = ByCode(required=False, label="Backup", empty_label="none")
    stands = forms.ChoiceField(
        label="Where the backup stands",
        choices=RigPosition._meta.get_field("stands").choices,
        initial="side",
    )
    outage_minutes = forms.IntegerField(
        required=False, min_value=0, max_value=600, label="Outage accepted, minutes"
    )
    fallback = forms.CharField(
        required=False, max_length=200, label="Written fallback, in one line"
    )
    fallback_steps = Lines(
        required=False,
        max_length=1500,
        label="Fallback, in the order of doing",
        help_text="One line each, such as 'lead: 3B, yellow, already in'.",
    )
    accepted = Lines(
        required=False, max_length=600, label="The artist accepts",
        help_text="Codes or designs, one a line, the best first.",
    )  # fmt: skip
    emergency = Lines(required=False, max_length=600, label="Only in an emergency")
    never = Lines(required=False, max_length=600, label="Never")
    traits = Lines(
        required=False, max_length=300, label="What a backup must have",
        help_text="A connector, a tuning, a hand; one a line.",
    )  # fmt: skip
    songs = forms.CharField(required=False, max_length=120, label="Songs")
    strings_every = forms.IntegerField(
        required=False, min_value=1, max_value=60, label="New strings every so many shows"
    )
    checks = Lines(
        required=False, max_length=600, label="Checks before doors",
        help_text="One a line, such as '48 V off on line 11'.",
    )  # fmt: skip

    def __init__(self, *args: Any, collection: Collection, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name in ("piece", "backup"):
            self.fields[name].queryset = queries.pieces(collection)


class TravelForm(forms.Form):
    """A piece that goes along."""

    piece = ByCode(label="Piece")
    on_carnet = forms.BooleanField(required=False, label="It is on the carnet's list")

    def __init__(self, *args: Any, collection: Collection, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["piece"].queryset = queries.pieces(collection)


class LogShowForm(TellingForm):
    """What was played: everything as planned, one tap for each exception."""

    field_order = ("troubled", "symptom", "sat_out", "left_on", "left_on_hours", "heater_hours",
                   "ht_hours", "words")  # fmt: skip

    troubled = forms.MultipleChoiceField(
        required=False, label="Trouble with", widget=forms.CheckboxSelectMultiple
    )
    symptom = forms.CharField(
        required=False,
        max_length=160,
        label="What it did",
        help_text="Opens a fault for each piece ticked above; who died tonight has one already.",
    )
    sat_out = forms.MultipleChoiceField(
        required=False, label="Not played", widget=forms.CheckboxSelectMultiple
    )
    left_on = forms.MultipleChoiceField(
        required=False, label="Left on afterwards", widget=forms.CheckboxSelectMultiple
    )
    left_on_hours = forms.DecimalField(
        required=False, min_value=0, max_value=240, decimal_places=2, initial=8,
        label="How long they were left on, hours",
    )  # fmt: skip
    heater_hours = forms.DecimalField(
        required=False, min_value=0, max_value=24, decimal_places=2, label="Hours, heaters on"
    )
    ht_hours = forms.DecimalField(
        required=False, min_value=0, max_value=24, decimal_places=2, label="Hours, high tension on"
    )

    def __init__(self, *args: Any, start: Proposal, **kwargs: Any) -> None:
        super().__init__(*args, initial=start.initial, **kwargs)
        self.pieces = [code for code, _ in start.pieces]
        self.died = start.died
        for name in ("troubled", "sat_out"):
            self.fields[name].choices = start.pieces
        heating = [one for one in start.pieces if one[0] in start.heating]
        self.fields["left_on"].choices = heating
        if not heating:
            del self.fields["left_on"], self.fields["left_on_hours"]

    def clean_when(self) -> str:
        """Nothing typed means: when the show ended."""
        return super().clean_when() if self.cleaned_data["when"].strip() else ""

    def clean(self) -> dict[str, Any]:
        """A piece that was not played can have made no trouble."""
        given = super().clean()
        both = set(given.get("troubled", ())) & set(given.get("sat_out", ()))
        if both:
            said = ", ".join(sorted(both))
            self.add_error("sat_out", f"{said} made trouble, so it was played.")
        return given

    def logged(self) -> dict[str, Any]:
        """What `log_show` is told."""
        given = self.cleaned_data
        symptom = given["symptom"] or TROUBLE
        return {
            "pieces": [code for code in self.pieces if code not in given["sat_out"]],
            "troubled": {c: "" if c in self.died else symptom for c in given["troubled"]},
            "heater_hours": _text(given["heater_hours"]),
            "ht_hours": _text(given["ht_hours"]),
            "left_on": given.get("left_on", []),
            "left_on_hours": _text(given.get("left_on_hours")) or "8",
        }


def _text(number: Any) -> str:
    return "" if number is None else f"{number:f}"


class NoteForm(forms.Form):
    """One line, written down at once or sent when the network is back."""

    line = forms.CharField(max_length=400, label="One line")
    once = forms.CharField(required=False, max_length=64)


class PressForm(forms.Form):
    """A press: its random token, and when it was made if it had to wait for the network."""

    once = forms.CharField(required=False, max_length=64)
    written_at = forms.CharField(required=False, max_length=40)

    def telling(self, *, now: datetime, words: str = "") -> Telling:
        """Now, or the moment of a press that waited."""
        given = self.cleaned_data if self.is_valid() else {}
        claim = phone.claimed(given.get("written_at", ""), now=now)
        return Telling(
            happened=phone.late(claim, now=now),
            written_at=claim,
            once=given.get("once") or None,
            words=words,
        )

"""Mains safety as it is typed in: earth, insulation, lead, fuse, instrument, verdict; the interval.

What looks odd is asked about. The limits used for asking are common practice, no source; what must
be tested, how often, by whom and against which limits is for local code and a licensed tester.
"""

from decimal import Decimal
from typing import Any

from django import forms

from collection.bench import actions
from collection.bench.record_form import RecordForm
from collection.core.odd_reading import Doubt, plain
from collection.ledger.asking import AskingForm, VoltsField, as_text
from collection.ledger.models import Event

MOST_EARTH_OHMS, LEAST_MEGOHMS = Decimal("0.5"), Decimal(1)
MOST_MEGOHMS = Decimal(100_000)  # more is ohms typed for megohms


def odd_earth(ohms: Decimal, *, passed: bool) -> Doubt | None:
    """A doubt about an earth bond: milliohms typed for ohms, or a pass at too many of them."""
    if ohms >= 5 and ohms / 1000 <= MOST_EARTH_OHMS:
        return Doubt(f"{ohms:f} Ω is far for an earth bond", plain(ohms / 1000))
    if passed and ohms > MOST_EARTH_OHMS:
        return Doubt(f"Passed, with {ohms:f} Ω to earth")
    return None


def odd_insulation(megohms: Decimal, *, passed: bool) -> Doubt | None:
    """A doubt about insulation: ohms typed for megohms, or a pass with too few of them."""
    if megohms >= MOST_MEGOHMS:
        return Doubt(f"{megohms:f} MΩ is more than testers read", plain(megohms / 1_000_000))
    if passed and megohms < LEAST_MEGOHMS:
        return Doubt(f"Passed, with {megohms:f} MΩ of insulation")
    return None


class SafetyTestedForm(AskingForm, RecordForm):
    """Mains safety: earth, insulation, cord, fuse."""

    kind, title = "safety_tested", "Safety test"
    lead = (
        "What must be tested, how often and by whom is for local code and a licensed tester. "
        "An insulation test puts 500 V on the chassis wiring: nobody touches it meanwhile."
    )
    tester = forms.CharField(max_length=80, required=False, label="Instrument used")
    earth_ohms = VoltsField(
        label="Earth bond, Ω", help_text="Plug's earth pin to bare chassis, the test lead nulled."
    )
    insulation_megohms = VoltsField(
        label="Insulation, MΩ", help_text="Live and neutral together to earth, switched on."
    )
    cord = forms.CharField(
        max_length=80, required=False, label="Mains lead",
        help_text="Plug, clamp, sheath: what was found.",
    )  # fmt: skip
    fuse = forms.CharField(
        max_length=80, required=False, label="Fuse", help_text="Value and kind found, such as T2A."
    )
    passed = forms.ChoiceField(
        choices=[("yes", "Passed"), ("no", "Failed")], label="Result", widget=forms.RadioSelect
    )
    lifts_tag = forms.BooleanField(
        required=False, label="This is the check that lifts its DO NOT POWER"
    )

    def __init__(self, *args, **kwargs) -> None:
        super().__init__(*args, **kwargs)
        if self.state.tag is None:
            del self.fields["lifts_tag"]

    def clean(self) -> dict[str, Any]:
        """What looks odd is asked about."""
        given = super().clean()
        passed = given.get("passed") == "yes"
        for name, doubt in (("earth_ohms", odd_earth), ("insulation_megohms", odd_insulation)):
            if (value := given.get(name)) is not None:
                self.ask(name, doubt(value, passed=passed))
        return given

    def write(self, **how: Any) -> Event:
        said = self.given("cord", "fuse", "tester")
        read = {name: as_text(self.cleaned_data[name]) for name in
                ("earth_ohms", "insulation_megohms")}  # fmt: skip
        lifts = bool(self.cleaned_data.get("lifts_tag"))
        passed = self.cleaned_data["passed"] == "yes"
        return actions.safety_test(
            code=self.piece.code, passed=passed, lifts_tag=lifts, **said, **read, **how
        )

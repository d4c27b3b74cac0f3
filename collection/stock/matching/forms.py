"""Forms of matching: a slip, the sets to make, what lives on of a set, the tolerances."""

from collections.abc import Sequence
from decimal import Decimal
from typing import Any

from django import forms

from collection.core.events.slip_noted import SlipNoted
from collection.core.odd_reading import Doubt, odd, plain
from collection.ledger.asking import AskingForm, VoltsField, as_text
from collection.ledger.forms import TellingForm
from collection.stock.matching.models import LIMITS, MatchRule
from collection.stock.matching.proposal import Proposal
from collection.stock.matching.queries import Loose
from collection.stock.models import Lot, Part

LEAST_UMHO, MOST_UMHO = Decimal(100), Decimal(60_000)  # house rule: beyond it is another unit


class SlipForm(AskingForm, TellingForm):
    """What a tester said of one loose tube."""

    tube = forms.ChoiceField(label="Which tube", required=False)
    tester = forms.CharField(max_length=60, label="Tester")
    plate_volts = VoltsField(label="Plate, V")
    screen_volts = VoltsField(label="Screen, V")
    grid_volts = VoltsField(label="Grid, V", help_text="Minus is understood.")
    settings = forms.CharField(
        max_length=120, required=False, label="Switches and scales", help_text="As on its roll."
    )
    ma = VoltsField(label="Plate current, mA")
    gm = VoltsField(label="gm")
    gm_unit = forms.ChoiceField(
        choices=[("umho", "µmho"), ("ma-v", "mA/V")], initial="umho", label="gm in",
        widget=forms.RadioSelect,
    )  # fmt: skip
    second_ma = VoltsField(label="Second section, mA")
    second_gm = VoltsField(label="Second section, gm")
    said = forms.CharField(
        max_length=80, required=False, label="Anything else it said",
        help_text="Emission, percent, merit, noisy: kept, never matched by.",
    )  # fmt: skip
    grade = forms.ChoiceField(label="Tested good for")

    conditions = ("tester", "plate_volts", "screen_volts", "grid_volts", "settings")

    def __init__(self, *args, lot: Lot, grades: Sequence[str], loose: Sequence[Loose], **kwargs):
        super().__init__(*args, **kwargs)
        self.lot = lot
        self.loose = {one.part.code: one for one in loose}
        again = [(code, f"{code} again") for code in self.loose]
        self.fields["tube"].choices = [("", "one without a code: it gets the next"), *again]
        self.fields["grade"].choices = [(grade, grade) for grade in grades]
        slips = [one for one in loose if one.slip]
        newest = max(slips, key=lambda one: one.entry or 0, default=None)
        self.last = newest.slip if newest else None
        for name in self.conditions if self.last else ():
            self.fields[name].initial = getattr(self.last, name)

    def clean(self) -> dict[str, Any]:
        """Something was read; what looks odd is asked about."""
        given = super().clean()
        if not any(given.get(name) for name in ("ma", "gm", "said")) and not self.errors:
            self.add_error("ma", "Nothing was read: a current, a gm, or what the tester said.")
        self._ask_gm(given)
        if given.get("ma") is not None:
            like = self._usual(0, given)
            self.ask("ma", odd(given["ma"], like=like, unit="mA", what="the others of the lot"))
        return given

    def _ask_gm(self, given: dict[str, Any]) -> None:
        if given.get("gm") is None:
            return
        umho, like = self._umho(given["gm"]), self._usual(1, given)
        doubt = odd(umho, like=like, unit="µmho", what="the others of the lot")
        if doubt is None and not LEAST_UMHO <= umho <= MOST_UMHO:
            meant = umho * 1000 if umho < LEAST_UMHO else umho / 1000
            doubt = Doubt(f"{plain(umho):f} µmho is far from any gm", plain(meant))
        if doubt and doubt.instead is not None and self._in_ma_per_volt:
            doubt = Doubt(doubt.words, plain(doubt.instead / 1000))
        self.ask("gm", doubt)

    @property
    def _in_ma_per_volt(self) -> bool:
        return self.cleaned_data.get("gm_unit") == "ma-v"

    def _umho(self, value: Decimal) -> Decimal:
        return value * 1000 if self._in_ma_per_volt else value

    def _usual(self, column: int, given: dict[str, Any]) -> Decimal | None:
        """The middle of what others of the lot read under the same conditions."""
        volts = [as_text(given.get(name)) for name in self.conditions[1:4]]
        read = sorted(
            Decimal(one.read[column])
            for one in self.loose.values()
            if one.read and one.slip and one.slip.tester == given.get("tester")
            and [one.slip.plate_volts, one.slip.screen_volts, one.slip.grid_volts] == volts
        )  # fmt: skip
        return read[len(read) // 2] if read else None

    def act(self) -> dict[str, Any]:
        """The slip, and the tube when it has a code already."""
        given = self.cleaned_data
        known = self.loose.get(given["tube"])
        rows = [self._section("ma", "gm", given["said"])]
        if given["second_ma"] is not None or given["second_gm"] is not None:
            second = self._section("second_ma", "second_gm", "")
            rows = [("1", *rows[0][1:]), ("2", *second[1:])]
        slip = SlipNoted(
            lot=self.lot.code,
            tester=given["tester"],
            sections=tuple(rows),
            plate_volts=as_text(given["plate_volts"]),
            screen_volts=as_text(given["screen_volts"]),
            grid_volts=as_text(given["grid_volts"]),
            settings=given["settings"],
            grade=given["grade"],
        )
        return {"slip": slip, "tube": known.part if known else None}

    def _section(self, current: str, gm: str, said: str) -> tuple[str, str, str, str]:
        given = self.cleaned_data
        value = given[gm]
        return ("", as_text(given[current]),
                as_text(None if value is None else self._umho(value)), said)  # fmt: skip


class SetsForm(TellingForm):
    """Which of the proposed sets are made; all of them unless one is taken out."""

    sets = forms.MultipleChoiceField(
        label="Make these", widget=forms.CheckboxSelectMultiple,
        error_messages={"invalid_choice": "One of the sets can no longer be made: look again."},
    )  # fmt: skip

    def __init__(self, *args, proposal: Proposal, **kwargs) -> None:
        super().__init__(*args, **kwargs)
        self.proposed = {one.key: one for one in proposal.sets}
        self.fields["sets"].choices = [(key, key) for key in self.proposed]
        self.fields["sets"].initial = list(self.proposed)

    def chosen(self) -> list[Any]:
        """The sets as they were proposed."""
        return [self.proposed[key] for key in self.cleaned_data["sets"]]

    @property
    def ticked(self) -> set[str]:
        """Keys that stand ticked on the page."""
        return set(self["sets"].value() or ())


class ApartForm(TellingForm):
    """What lives on of a set."""

    tubes = forms.MultipleChoiceField(
        required=False, label="Which live on", widget=forms.CheckboxSelectMultiple
    )
    unnamed = forms.IntegerField()
    grade = forms.ChoiceField(
        label="Kept for", widget=forms.RadioSelect, initial="show",
        choices=[("show", "show"), ("rehearsal", "rehearsal"), ("bench", "bench")],
    )  # fmt: skip
    hours = VoltsField(label="HT hours on each")
    because = forms.CharField(max_length=120, required=False, label="What happened to the other")

    def __init__(self, *args, members: Sequence[Part], most: int, **kwargs) -> None:
        super().__init__(*args, **kwargs)
        self.members = {one.code: one for one in members}
        self.fields["unnamed"] = forms.IntegerField(
            min_value=1, max_value=most, initial=1, label="How many live on"
        )
        self.fields["tubes"].choices = [(code, code) for code in self.members]
        del self.fields["unnamed" if self.members else "tubes"]

    def clean(self) -> dict[str, Any]:
        """At least one lives on."""
        given = super().clean()
        if self.members and not given.get("tubes") and "tubes" not in self.errors:
            self.add_error("tubes", "Tick the tube that still works.")
        return given

    def act(self) -> dict[str, Any]:
        """What the action takes."""
        given = self.cleaned_data
        kept = [self.members[code] for code in given.get("tubes", ())]
        return {"tubes": kept, "unnamed": given.get("unnamed") or 0, "grade": given["grade"],
                "hours": as_text(given["hours"]), "because": given["because"]}  # fmt: skip


class ToleranceForm(forms.Form):
    """How far apart tubes of a set may be, and what that rests on."""

    current_percent = forms.DecimalField(
        max_digits=4, decimal_places=1, validators=LIMITS, label="Current, %"
    )
    gm_percent = forms.DecimalField(
        max_digits=4, decimal_places=1, validators=LIMITS, label="gm, %"
    )
    basis = forms.CharField(max_length=200, label="What that rests on")

    def __init__(self, *args, rule: MatchRule, **kwargs) -> None:
        initial = {"current_percent": rule.current_percent, "gm_percent": rule.gm_percent,
                   "basis": rule.basis}  # fmt: skip
        super().__init__(*args, initial=initial, **kwargs)

"""Acts on a lot: received, tested, written off, found again, counted, issued."""

from typing import Any

from django import forms
from django.db.models import QuerySet

from collection.ledger.forms import TellingForm
from collection.stock.counting import in_words
from collection.stock.forms.checked import CheckedForm
from collection.stock.records import LotCount

MOST = 100_000


def units_field(label: str, *, required: bool = True, least: int = 1) -> forms.IntegerField:
    """A number of units of a lot."""
    return forms.IntegerField(min_value=least, max_value=MOST, required=required, label=label)


class LotActForm(TellingForm):
    """Base of acts on a lot; knows what each bucket holds."""

    def __init__(self, *args, held: LotCount, **kwargs) -> None:
        super().__init__(*args, **kwargs)
        self.held = held
        self.unit = "sets" if held.lot.in_sets else f"{held.lot.type.noun}s"

    def buckets(self, *families: str) -> list[tuple[str, str]]:
        """Buckets with something in them, as choices; sealed always."""
        counts = {"sealed": 0, **self.held.counts}
        return [
            (bucket, f"{in_words(bucket)}, {units} in the book")
            for bucket, units in sorted(counts.items())
            if bucket.partition(":")[0] in families and (units > 0 or bucket == "sealed")
        ]

    def act(self) -> dict[str, Any]:
        """What the action takes beside collection, member, lot and telling."""
        raise NotImplementedError


class ReceiveForm(LotActForm):
    """Units arrived and were counted on the shelf."""

    units = units_field("Counted on the shelf")
    delivery_note_units = units_field("The delivery note says", required=False)

    def act(self) -> dict[str, Any]:
        """Counted, promised."""
        return {name: self.cleaned_data[name] for name in ("units", "delivery_note_units")}


class TestForm(LotActForm):
    """Sealed units were tried on a tester and graded."""

    __test__ = False  # not a test, whatever its name begins with

    show = units_field("Good for show", required=False, least=0)
    bench = units_field("Good for the bench only", required=False, least=0)
    grade = forms.CharField(
        required=False,
        max_length=16,
        label="Another grade",
        help_text="Such as V1, for quiet ones.",
    )
    graded = units_field("Good for that grade", required=False, least=0)
    failed = units_field("Failed", required=False, least=0)

    def clean(self) -> dict[str, Any]:
        """At least one was tested, and a grade has a number."""
        given = super().clean()
        if given.get("graded") and not given.get("grade"):
            self.add_error("grade", "Which grade is it?")
        if ":" in (given.get("grade") or ""):
            self.add_error("grade", "A grade has no colon in it.")
        if not sum(given.get(name) or 0 for name in ("show", "bench", "graded", "failed")):
            raise forms.ValidationError(
                "Say how many were tested: good ones, failed ones, or both."
            )
        return given

    def act(self) -> dict[str, Any]:
        """How many of each grade."""
        given = self.cleaned_data
        passed = {"show": given["show"] or 0, "bench": given["bench"] or 0}
        if given["grade"]:
            passed[given["grade"]] = passed.get(given["grade"], 0) + (given["graded"] or 0)
        failed = given["failed"] or 0
        return {"units": failed + sum(passed.values()), "passed": passed, "failed": failed}


class WriteOffForm(LotActForm):
    """Units are given up."""

    units = units_field("How many")
    bucket = forms.ChoiceField(label="Out of", widget=forms.RadioSelect)
    to = forms.ChoiceField(
        label="As", choices=[("lost", "lost"), ("dead", "dead")], widget=forms.RadioSelect
    )
    because = forms.CharField(max_length=160, label="Why")

    def __init__(self, *args, **kwargs) -> None:
        super().__init__(*args, **kwargs)
        self.fields["bucket"].choices = self.buckets("sealed", "tested", "pulled", "kept-out")

    def act(self) -> dict[str, Any]:
        """How many, out of what, as what, why."""
        return {name: self.cleaned_data[name] for name in ("units", "bucket", "to", "because")}


class FindAgainForm(LotActForm):
    """Units that were given up turned up."""

    units = units_field("How many turned up")
    bucket = forms.ChoiceField(
        label="They are",
        choices=[
            ("sealed", "sealed"),
            ("tested:show", "tested, show grade"),
            ("tested:bench", "tested, bench grade"),
            ("pulled:show", "pulled, still good for show"),
        ],
        widget=forms.RadioSelect,
    )

    def act(self) -> dict[str, Any]:
        """How many, into what."""
        return {name: self.cleaned_data[name] for name in ("units", "bucket")}


class CountForm(LotActForm):
    """Somebody counted; a bucket left empty was not counted."""

    def __init__(self, *args, **kwargs) -> None:
        super().__init__(*args, **kwargs)
        self.counted = [bucket for bucket, _ in self.buckets("sealed", "tested", "pulled")]
        for number, bucket in enumerate(self.counted):
            label = f"Counted {in_words(bucket)}"
            self.fields[f"seen_{number}"] = units_field(label, required=False, least=0)

    def clean(self) -> dict[str, Any]:
        """Something was counted."""
        given = super().clean()
        if not self._seen(given) and not self.errors:
            raise forms.ValidationError("Nothing is counted yet: fill in at least one number.")
        return given

    def _seen(self, given: dict[str, Any]) -> dict[str, int]:
        found = {bucket: given.get(f"seen_{n}") for n, bucket in enumerate(self.counted)}
        return {bucket: units for bucket, units in found.items() if units is not None}

    def act(self) -> dict[str, Any]:
        """What was counted, bucket by bucket."""
        return {"seen": self._seen(self.cleaned_data)}


class IssueForm(CheckedForm, LotActForm):
    """Units leave the shelf for a position of a piece."""

    refused_at = "position"

    units = units_field("How many")
    grade = forms.ChoiceField(label="From", widget=forms.RadioSelect)
    piece = forms.ModelChoiceField(queryset=None, to_field_name="code", label="Into")
    position = forms.CharField(
        max_length=24,
        label="Position",
        help_text="As the chart names it, V1; a matched set by the set's name, output.",
    )
    part_code = forms.CharField(
        required=False, max_length=40, label="Code of the part or set",
        help_text="Left empty, the next is taken. A code that is known is that part again.",
    )  # fmt: skip

    def __init__(self, *args, pieces: QuerySet, **kwargs) -> None:
        super().__init__(*args, **kwargs)
        self.fields["grade"].choices = self.buckets("sealed", "tested", "pulled")
        self.fields["piece"].queryset = pieces
        self.fields["units"].initial = 1 if self.held.lot.in_sets else self.held.lot.type.set_size

    def act(self) -> dict[str, Any]:
        """How many, of which grade, into what."""
        names = ("units", "grade", "piece", "position", "part_code")
        return {name: self.cleaned_data[name] for name in names} | self.checked()

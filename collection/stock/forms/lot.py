"""Acts on a lot: received, tested, written off, found again, counted, issued."""

from collections.abc import Sequence
from typing import Any

from django import forms
from django.db.models import QuerySet

from collection.core.odd_reading import Doubt
from collection.ledger.asking import AskingForm
from collection.ledger.forms import TellingForm
from collection.stock.counting import in_words
from collection.stock.forms.checked import CheckedForm
from collection.stock.grades import BENCH, REHEARSAL, STANDING, as_known
from collection.stock.records import LotCount

MOST = 100_000
FAMILIES = ("tested", "sealed", "pulled", "kept-out")


def units_field(label: str, *, required: bool = True, least: int = 1) -> forms.IntegerField:
    """A number of units of a lot."""
    said = "How many were there? A whole number" + (", 1 at least." if least else ", 0 for none.")
    return forms.IntegerField(
        min_value=least, max_value=MOST, required=required, label=label,
        error_messages=dict.fromkeys(("required", "invalid", "min_value"), said),
    )  # fmt: skip


def bucket_field(label: str) -> forms.ChoiceField:
    """Which units of a lot; the form fills in what the book has."""
    said = {"required": "Tick which ones."}
    return forms.ChoiceField(label=label, widget=forms.RadioSelect, error_messages=said)


def graded(grades: Sequence[str]) -> list[tuple[str, str]]:
    """Buckets of every grade as choices: tested ones, which no rehearsal needs, and pulled ones."""
    tested = [f"tested:{grade}" for grade in grades if grade != REHEARSAL]
    return [(b, in_words(b)) for b in (*tested, *(f"pulled:{grade}" for grade in grades))]


class LotActForm(AskingForm, TellingForm):
    """Base of acts on a lot; knows what each bucket holds and asks once about what is beyond it."""

    def __init__(self, *args, held: LotCount, grades: Sequence[str] = STANDING, **kwargs) -> None:
        super().__init__(*args, **kwargs)
        self.held, self.grades = held, grades
        self.unit = "sets" if held.lot.in_sets else f"{held.lot.type.noun}s"

    def buckets(self, *families: str) -> list[tuple[str, str]]:
        """Buckets with something in them, as choices, best first; sealed always."""
        counts = {"sealed": 0, **self.held.counts}
        return [
            (bucket, f"{in_words(bucket)}, {counts[bucket]} in the book")
            for bucket in sorted(counts, key=self._rank)
            if bucket.partition(":")[0] in families and (counts[bucket] > 0 or bucket == "sealed")
        ]

    def _rank(self, bucket: str) -> tuple[bool, int, int]:
        """Tested, sealed, pulled; grades from the best down; bench grade behind all others."""
        family, _, grade = bucket.partition(":")
        known = self.grades.index(grade) if grade in self.grades else len(self.grades)
        place = FAMILIES.index(family) if family in FAMILIES else len(FAMILIES)
        return grade == BENCH, place, known

    def ask_beyond(self, name: str, bucket: str, units: int | None) -> None:
        """Ask once about more units than the book has; said to be so, it is written."""
        held = max(0, self.held.counts.get(bucket, 0))
        if units is not None and units > held and name not in self.errors:
            more = f"The book has {held} {in_words(bucket)}, and this would take {units}"
            self.ask(name, Doubt(f"{more}; if that is so, the difference becomes a Question"))

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
    failed = units_field("Failed", required=False, least=0)
    grade = forms.CharField(
        required=False,
        max_length=16,
        label="A grade not named above",
        help_text="Such as V1, for quiet ones.",
    )
    graded = units_field("Good for that grade", required=False, least=0)

    def __init__(self, *args, **kwargs) -> None:
        super().__init__(*args, **kwargs)
        own = [grade for grade in self.grades if grade not in STANDING]
        self.own = {f"own_{n}": grade for n, grade in enumerate(own)}
        for name, grade in self.own.items():
            self.fields[name] = units_field(f"Good for {grade}", required=False, least=0)
        self.order_fields(["show", *self.own, "bench", "failed", "grade", "graded"])

    def clean_grade(self) -> str:
        """A grade that is known is written as it always was."""
        return as_known(self.cleaned_data["grade"], self.grades)

    def clean(self) -> dict[str, Any]:
        """At least one was tested, a grade has a number, and more than are sealed is asked."""
        given = super().clean()
        if given.get("graded") and not given.get("grade"):
            self.add_error("grade", "Which grade is it?")
        if given.get("grade") and not given.get("graded"):
            self.add_error("graded", "How many are good for it?")
        if ":" in (given.get("grade") or ""):
            self.add_error("grade", "A grade has no colon in it.")
        counted = {name: given.get(name) or 0 for name in self._counts()}
        if not sum(counted.values()) and not self.errors:
            raise forms.ValidationError(
                "Say how many were tested: good ones, failed ones, or both."
            )
        self.ask_beyond(max(counted, key=counted.__getitem__), "sealed", sum(counted.values()))
        return given

    def _counts(self) -> list[str]:
        return ["show", *self.own, "bench", "graded", "failed"]

    def act(self) -> dict[str, Any]:
        """How many of each grade."""
        given = self.cleaned_data
        passed = {grade: given[name] or 0 for name, grade in self.own.items()}
        passed |= {"show": given["show"] or 0, "bench": given["bench"] or 0}
        if given["grade"]:
            passed[given["grade"]] = passed.get(given["grade"], 0) + (given["graded"] or 0)
        failed = given["failed"] or 0
        return {"units": failed + sum(passed.values()), "passed": passed, "failed": failed}


class WriteOffForm(LotActForm):
    """Units are given up."""

    units = units_field("How many")
    bucket = bucket_field("Out of")
    to = forms.ChoiceField(
        label="As", choices=[("lost", "lost"), ("dead", "dead")], widget=forms.RadioSelect,
        error_messages={"required": "Tick lost or dead."},
    )  # fmt: skip
    because = forms.CharField(
        max_length=160, label="Why", error_messages={"required": "Say why, in a word or two."}
    )

    def __init__(self, *args, **kwargs) -> None:
        super().__init__(*args, **kwargs)
        self.fields["bucket"].choices = self.buckets("sealed", "tested", "pulled", "kept-out")

    def clean(self) -> dict[str, Any]:
        """More than the book has is asked about."""
        given = super().clean()
        self.ask_beyond("units", given.get("bucket", ""), given.get("units"))
        return given

    def act(self) -> dict[str, Any]:
        """How many, out of what, as what, why."""
        return {name: self.cleaned_data[name] for name in ("units", "bucket", "to", "because")}


class FindAgainForm(LotActForm):
    """Units that were given up turned up."""

    units = units_field("How many turned up")
    bucket = bucket_field("They are")

    def __init__(self, *args, **kwargs) -> None:
        super().__init__(*args, **kwargs)
        self.fields["bucket"].choices = [("sealed", "sealed"), *graded(self.grades)]

    def act(self) -> dict[str, Any]:
        """How many, into what."""
        return {name: self.cleaned_data[name] for name in ("units", "bucket")}


class CountForm(LotActForm):
    """Somebody counted; a bucket left empty was not counted."""

    def __init__(self, *args, **kwargs) -> None:
        super().__init__(*args, **kwargs)
        held = [bucket for bucket, _ in self.buckets("tested", "sealed", "pulled")]
        known = ["sealed", *(bucket for bucket, _ in graded(self.grades))]
        # what the book has none of may lie on the shelf all the same
        self.counted = [*held, *(bucket for bucket in known if bucket not in held)]
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
    grade = bucket_field("From")
    piece = forms.ModelChoiceField(
        queryset=None, to_field_name="code", label="Into",
        error_messages={"required": "Say which piece it goes into."},
    )  # fmt: skip
    position = forms.CharField(
        max_length=24,
        label="Position",
        error_messages={"required": "Say which position, as the chart of the piece names it."},
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

    def clean(self) -> dict[str, Any]:
        """More than the book has is asked about."""
        given = super().clean()
        self.ask_beyond("units", given.get("grade", ""), given.get("units"))
        return given

    def act(self) -> dict[str, Any]:
        """How many, of which grade, into what."""
        names = ("units", "grade", "piece", "position", "part_code")
        return {name: self.cleaned_data[name] for name in names} | self.checked()

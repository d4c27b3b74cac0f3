"""What is asked about something that comes back, gate by gate."""

import re
from collections.abc import Sequence
from typing import Any

from django import forms

from collection.core.events.title_settled import OUTCOMES
from collection.custody import actions
from collection.custody.choices import Grouped, near_first, party_choices
from collection.custody.filed.actions import file_paper
from collection.custody.filed.forms import PaperField
from collection.custody.filed.models import FiledPaper
from collection.custody.whereabouts import Whereabouts
from collection.ledger.forms import TellingForm, WritingForm
from collection.ledger.models import Event, Subject

EVIDENCE = [
    (kind, kind)
    for kind in (
        "wood grain or figure on a photo",
        "repair with its record",
        "wear and dings on a photo",
        "mark kept off the notice",
        "owner's hidden mark",
        "dates inside",
        "serial",
    )
]


class RecoverForm(TellingForm):
    """It turned up: where it is, who found it, by what it was known."""

    at = forms.ChoiceField(label="Where it is now: set apart, unpowered")
    found_by = forms.ChoiceField(required=False, label="Who found it or has it")
    identity = forms.MultipleChoiceField(
        required=False,
        choices=EVIDENCE,
        label="Known again by",
        widget=forms.CheckboxSelectMultiple,
    )
    mislaid = forms.BooleanField(required=False, label="It was only mislaid, nobody took it")

    def __init__(self, *args: Any, known: Whereabouts, people: Grouped, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        named = near_first(self.collection, known, now=self.now)
        self.fields["at"].choices = [("", "choose a place"), *named]
        self.fields["found_by"].choices = [("", "one of us, or not known"), *people]

    def act(self, code: str) -> Event:
        """Write the recovery."""
        given = self.cleaned_data
        return actions.recover(
            collection=self.collection,
            by=self.member,
            code=code,
            at=given["at"],
            found_by=given["found_by"],
            identity=given["identity"],
            mislaid=given["mislaid"],
            telling=self.telling(),
        )


class GateForm(forms.Form):
    """One gate: answered, or why it does not apply."""

    evidence = forms.MultipleChoiceField(
        required=False, choices=EVIDENCE, label="Known by, two kinds beside the serial",
        widget=forms.CheckboxSelectMultiple,
    )  # fmt: skip
    other = forms.CharField(required=False, max_length=120, label="Something else")
    because = forms.CharField(
        required=False, max_length=300, label="What was found, or why it does not apply"
    )
    filed = forms.MultipleChoiceField(
        required=False, label="Filed already", widget=forms.CheckboxSelectMultiple
    )
    paper = PaperField(label="A paper or photo that shows it")
    answer = forms.ChoiceField(
        choices=[("answered", "answered"), ("not-apply", "does not apply")],
        widget=forms.HiddenInput,
    )

    def __init__(self, *args: Any, gate: str, papers: Sequence[FiledPaper], **kwargs: Any) -> None:
        super().__init__(*args, auto_id=f"{gate}_%s", **kwargs)
        self.gate = gate
        if gate != "identity":
            del self.fields["evidence"], self.fields["other"]
        self.fields["filed"].choices = [(row.sha256, row.title) for row in papers]
        if not papers:
            del self.fields["filed"]

    def asked(self) -> list[forms.BoundField]:
        """The fields before the two presses."""
        return [field for field in self.visible_fields() if field.name != "answer"]

    def clean(self) -> dict[str, Any]:
        """A gate stands in the book for ever: it is never passed without a word."""
        given = self.cleaned_data
        if given.get("answer") == "answered" and not given.get("because") and not self.kinds():
            raise forms.ValidationError("Say what was found; a gate is not passed without a word.")
        return given

    def kinds(self) -> tuple[str, ...]:
        """Kinds of evidence, ticked and written by hand."""
        own = re.split(r"[;\n]", self.cleaned_data.get("other", ""))
        return (
            *self.cleaned_data.get("evidence", ()),
            *(one.strip() for one in own if one.strip()),
        )


class BehindForm(WritingForm):
    """What a gate rests on, with the paper that says so."""

    paper = PaperField()
    reference = forms.CharField(required=False, max_length=60, label="Its number or reference")

    def __init__(self, *args: Any, code: str, file: Subject, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.code, self.file = code, file
        known = [("", "nobody of the list"), *party_choices(self.collection, *self.likely)]
        for name in self.people:
            self.fields[name].choices = known

    likely: tuple[str, ...] = ()
    people: tuple[str, ...] = ()
    title = ""

    def papers(self) -> tuple[str, ...]:
        """File what was sent; its hash."""
        sent = self.cleaned_data["paper"]
        if not sent:
            return ()
        title = f"{self.title}, {self.code}"
        return (file_paper(subject=self.file, by=self.member, title=title, content=sent).sha256,)


class ReleaseForm(BehindForm):
    """Who gave a recovered piece back, to whom, and through whose hands it went."""

    likely = ("police", "customs", "court")
    people = ("by_whom", "to")
    title = "Release"

    by_whom = forms.ChoiceField(required=False, label="Given back by")
    to = forms.ChoiceField(required=False, label="Taken by", help_text="Left open: one of us.")
    chain = forms.CharField(
        required=False, max_length=1500, label="Through whose hands, one a line",
        widget=forms.Textarea(attrs={"rows": 4}),
        help_text="Found by, where; kept where, from when; handed over when, to whom.",
    )  # fmt: skip
    field_order = ["by_whom", "to", "reference", "chain", "paper"]

    def write(self, **how: Any) -> Event:
        """Write the release."""
        given = self.cleaned_data
        lines = (line.strip() for line in given["chain"].splitlines())
        return actions.release(
            collection=self.collection, by=self.member, code=self.code, by_whom=given["by_whom"],
            to=given["to"], reference=given["reference"], chain=tuple(filter(None, lines)),
            papers=self.papers(), **how,
        )  # fmt: skip


class TitleForm(BehindForm):
    """What the insurer says of title, and whether a claim was paid."""

    likely = ("insurer", "broker")
    people = ("insurer",)
    title = "Answer on title"

    outcome = forms.ChoiceField(
        choices=list(OUTCOMES.items()), label="Whose it is", widget=forms.RadioSelect
    )
    insurer = forms.ChoiceField(required=False, label="Who says so")
    paid = forms.BooleanField(required=False, label="A claim was paid for it")
    terms = forms.CharField(
        required=False, max_length=300, label="On which terms", help_text="A sum to be paid back."
    )
    field_order = ["outcome", "insurer", "paid", "reference", "terms", "paper"]

    def write(self, **how: Any) -> Event:
        """Write the answer."""
        given = self.cleaned_data
        said = {name: given[name] for name in ("outcome", "insurer", "paid", "reference", "terms")}
        return actions.settle_title(
            collection=self.collection, by=self.member, code=self.code, papers=self.papers(),
            **said, **how,
        )  # fmt: skip

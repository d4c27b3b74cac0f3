"""What is asked when a part is judged and when a dated document turns up."""

from dataclasses import replace
from typing import Any

from django import forms

from collection.bench.forms import RecordForm
from collection.bench.originality import actions, queries
from collection.core.datecode import Reading, readings
from collection.core.events.documented import DOCUMENTS
from collection.core.events.originality_checked import JUDGEMENTS
from collection.core.factory_date import otherwise
from collection.core.statements import open_readings
from collection.ledger.forms import read_when
from collection.ledger.models import Event
from collection.ledger.telling import Telling

MARKED = 40  # characters of a marking


def readings_of(mark: str) -> tuple[Reading, ...]:
    """Every split of a marking, the likeliest first; () where it is no source-date code."""
    try:
        return readings(mark) if mark.strip() else ()
    except ValueError:
        return ()


class OriginalityForm(RecordForm):
    """One part of the piece and what is judged of it."""

    kind, title = "originality_checked", "Original or not"
    lead = "One part. Write what is stamped on it exactly, with ? for what cannot be read."
    position = forms.CharField(
        max_length=60,
        label="Which part",
        widget=forms.TextInput(attrs={"list": "parts", "autocomplete": "off"}),
    )
    judgement = forms.ChoiceField(
        choices=[(key, words[0].upper() + words[1:]) for key, words in JUDGEMENTS.items()],
        label="What you judge",
        widget=forms.RadioSelect,
    )
    marking = forms.CharField(required=False, max_length=MARKED, label="Marking, as seen")
    reading = forms.ChoiceField(required=False, label="Which reading", widget=forms.RadioSelect)
    made = forms.CharField(
        required=False,
        max_length=60,
        label="Or dated otherwise",
        help_text="Written out, pencilled, told: 1959, April 1961, 1962 or later. Goes before the "
        "marking.",
    )
    evidence = forms.CharField(
        required=False, max_length=300, label="What it rests on",
        help_text="Solder undisturbed, same screws, no second holes.",
    )  # fmt: skip

    def __init__(self, *args, **kwargs) -> None:
        super().__init__(*args, **kwargs)
        mark = str(self["marking"].value() or "")
        self.readings = readings_of(mark)
        self.span = queries.span_of(self.piece)
        self.fitting = open_readings(mark, self.span)
        self.fields["reading"].choices = [("", "Keep every reading open")] + [
            (one.split, one.sentence()) for one in self.readings
        ]
        self.positions = queries.positions_of(self.piece)
        self.caution_before = "position"

    @property
    def coded_otherwise(self) -> list[str]:
        """What the marking says if it stands on a tube or a capacitor: such dates bound nothing."""
        return list(otherwise(str(self["marking"].value() or ""), self.span))

    @property
    def read(self) -> list[tuple[Any, str, str]]:
        """(choice, split, what speaks for it) of every reading, 'keep all' first."""
        notes = {one.split: self._note(one) for one in self.fitting}
        splits = ["", *(one.split for one in self.readings)]
        return [
            (option, split, "" if not split else notes.get(split, "counts only if you choose it"))
            for option, split in zip(self["reading"], splits, strict=True)
        ]

    def _note(self, narrowed: Reading) -> str:
        years = " or ".join(str(year) for year in narrowed.years)
        return f"in the years of its design: {years}" if self.span else ""

    def clean_position(self) -> str:
        """A part of the list under the list's own name, however it was typed."""
        typed = " ".join(self.cleaned_data["position"].split())
        named = {name.casefold(): name for name in self.positions}
        return named.get(typed.casefold(), typed)

    def clean_made(self) -> str:
        """The date as EDTF text; '' where none was typed."""
        return _date(self, "made")

    def write(self, **how: Any) -> Event:
        said = self.given("position", "judgement", "marking", "reading", "made", "evidence")
        return actions.check_originality(code=self.piece.code, **said, **how)


class DocumentForm(RecordForm):
    """A dated paper, photo or appearance of the piece."""

    kind, title = "documented", "Dated document"
    lead = "Its own date shows that the piece existed; a year that it claims is only a claim."
    what = forms.ChoiceField(
        choices=[(key, words[0].upper() + words[1:]) for key, words in DOCUMENTS.items()],
        label="What it is",
        widget=forms.RadioSelect,
    )
    dated = forms.CharField(
        max_length=60, label="Its date", help_text="12 March 2016, June 1966, about 1970."
    )
    shows = forms.CharField(required=False, max_length=300, label="What it shows")
    says_built = forms.CharField(
        required=False, max_length=60, label="The year of building it claims"
    )
    piece_in_it = forms.BooleanField(
        required=False, initial=True, label="It is surely this very piece"
    )

    def __init__(self, *args, **kwargs) -> None:
        super().__init__(*args, **kwargs)
        del self.fields["when"]  # a document stands at its own date
        self.fields["how"].initial = "document"

    def clean_dated(self) -> str:
        """The date as EDTF text."""
        return _date(self, "dated")

    def clean_says_built(self) -> str:
        """The year as EDTF text; '' where none was typed."""
        return _date(self, "says_built")

    def telling(self) -> Telling:
        """At the document's own date."""
        self.cleaned_data["when"] = self.cleaned_data["dated"]
        told = super().telling()
        return replace(told, source=self.cleaned_data["how"] or "document")

    def write(self, **how: Any) -> Event:
        said = self.given("what", "dated", "shows", "says_built")
        sure = self.cleaned_data["piece_in_it"]
        return actions.add_document(code=self.piece.code, piece_in_it=sure, **said, **how)


def _date(form: RecordForm, name: str) -> str:
    typed = form.cleaned_data[name].strip()
    return read_when(typed, collection=form.collection, now=form.now) if typed else ""

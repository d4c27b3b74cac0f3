"""The form that corrects an entry, made from the fields of its kind."""

import types
from collections.abc import Mapping
from dataclasses import MISSING, Field, fields
from typing import Any, Union, get_args, get_origin, get_type_hints

from django import forms

from collection.core.events import KINDS
from collection.core.events.documented import DOCUMENTS
from collection.core.events.fault_settled import OUTCOMES
from collection.core.events.modified import WAY_BACK
from collection.core.events.originality_checked import JUDGEMENTS
from collection.core.recovery import ANSWERS, GATES
from collection.core.state import LEVELS
from collection.ledger.forms import TellingForm
from collection.ledger.models import Event

# Facts that take one of a few words; a fact that is not here takes any.
CHOICES: Mapping[tuple[str, str], tuple[str, ...]] = {
    ("inspected", "level"): tuple(LEVELS),
    ("inspected", "result"): ("works", "does-not"),
    ("fault_settled", "outcome"): tuple(OUTCOMES),
    ("modified", "reversible"): tuple(WAY_BACK),
    ("faulted", "when_hot"): ("", "cold", "hot"),
    ("tag_lifted", "result"): ("passed", "failed"),
    ("told_working", "works"): ("yes", "no"),
    ("originality_checked", "judgement"): tuple(JUDGEMENTS),
    ("documented", "what"): tuple(DOCUMENTS),
    ("cleared", "gate"): tuple(GATES),
    ("cleared", "answer"): tuple(ANSWERS),
}
TRUTH = {"yes": True, "no": False, "": None}


class LinesField(forms.CharField):
    """A list of texts, one a line."""

    widget = forms.Textarea(attrs={"rows": 3})

    def prepare_value(self, value: Any) -> Any:
        return "\n".join(value) if isinstance(value, list | tuple) else value

    def clean(self, value: Any) -> list[str]:
        text = super().clean(value)
        return [line.strip() for line in text.splitlines() if line.strip()]


class PairsField(forms.CharField):
    """A list of names with a text or a number each, 'name: value', one a line."""

    widget = forms.Textarea(attrs={"rows": 4})

    def __init__(self, *, counted: bool = False, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.counted = counted

    def prepare_value(self, value: Any) -> Any:
        if isinstance(value, list | tuple):
            return "\n".join(f"{name}: {said}" for name, said in value)
        return value

    def clean(self, value: Any) -> list[list[Any]]:
        lines = [line for line in super().clean(value).splitlines() if line.strip()]
        return [self._pair(line) for line in lines]

    def _pair(self, line: str) -> list[Any]:
        name, colon, said = (part.strip() for part in line.partition(":"))
        if not colon or (self.counted and not said.removeprefix("-").isdigit()):
            wanted = "name: number" if self.counted else "name: value"
            raise forms.ValidationError(f"'{line.strip()}' is not written as {wanted}.")
        return [name, int(said) if self.counted else said]


class RowsField(forms.CharField):
    """Rows of texts, one a line, the texts of a row parted by upright strokes."""

    widget = forms.Textarea(attrs={"rows": 4})

    def prepare_value(self, value: Any) -> Any:
        if isinstance(value, list | tuple):
            return "\n".join(" | ".join(row) for row in value)
        return value

    def clean(self, value: Any) -> list[list[str]]:
        lines = [line for line in super().clean(value).splitlines() if line.strip()]
        return [[cell.strip() for cell in line.split("|")] for line in lines]


class TruthField(forms.ChoiceField):
    """Yes, no, or not known."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(choices=[("yes", "yes"), ("no", "no"), ("", "not known")], **kwargs)

    def prepare_value(self, value: Any) -> Any:
        return {True: "yes", False: "no", None: ""}.get(value, value)

    def clean(self, value: Any) -> bool | None:
        return TRUTH[super().clean(value)]


class CorrectionForm(TellingForm):
    """What an entry says, its date and its words, to be put right; subject and kind stay."""

    told_heading = "When it happened and how it is known"
    when_blank = "date not known"

    def __init__(self, *args: Any, said: Event, stands: bool = True, **kwargs: Any) -> None:
        kwargs["initial"] = _initial(said)
        super().__init__(*args, **kwargs)
        self.said, self.stands = said, stands  # what was withdrawn may come back as it was
        for name, field in fact_fields(said).items():
            self.fields[f"fact_{name}"] = field
        self.order_fields([*(f"fact_{name}" for name in said.facts), "words"])

    def clean_when(self) -> str:
        """The date as EDTF text; here nothing typed means that it is not known, never today."""
        return super().clean_when() if self.cleaned_data["when"].strip() else ""

    @property
    def told_open(self) -> bool:
        """The date is often what is wrong, so its part stands open."""
        return True

    def clean(self) -> dict[str, Any]:
        """A correction says something else than what stands."""
        given = super().clean() or self.cleaned_data
        if self.stands and not self.errors and not self._says_anything_new():
            raise forms.ValidationError(
                "Nothing here differs from what the entry says already; nothing was written."
            )
        return given

    def _says_anything_new(self) -> bool:
        told, said = self.telling(), self.said
        now = (told.happened, told.source, told.source_note, told.certainty, told.words)
        before = (said.happened, said.source, said.source_note, said.certainty, said.words)
        return now != before or self.facts() != said.facts

    def facts(self) -> dict[str, Any]:
        """The facts as corrected, with those that no field shows."""
        shown = {
            name.removeprefix("fact_"): value
            for name, value in self.cleaned_data.items()
            if name.startswith("fact_")
        }
        return {**self.said.facts, **shown}


def _initial(said: Event) -> dict[str, Any]:
    telling = {
        "when": said.happened,
        "how": said.source,
        "who": said.source_note,
        "certainty": said.certainty,
        "words": said.words,
    }
    return telling | {f"fact_{name}": value for name, value in said.facts.items()}


def fact_fields(said: Event) -> dict[str, forms.Field]:
    """A form field for every fact of an entry's kind."""
    kind = KINDS[said.kind]
    hints = get_type_hints(kind)
    return {
        field.name: _field(said, field, hints[field.name])
        for field in fields(kind)
        if field.name in hints
    }


def _field(said: Event, field: Field, hint: Any) -> forms.Field:
    how = {"label": field.name.replace("_", " ").capitalize(), "required": False}
    if (said.kind, field.name) in CHOICES:
        return forms.ChoiceField(choices=_choices(said, field.name), **how)
    hint, optional = _unwrapped(hint)
    if get_origin(hint) is tuple:
        inner = get_args(hint)[0]
        if get_origin(inner) is tuple and not _is_pair(inner):
            return RowsField(help_text="One row a line, parted by |, empty where unknown.", **how)
        if get_origin(inner) is tuple:
            return PairsField(counted=get_args(inner)[1] is int, **how)
        return LinesField(**how)
    if hint is bool:
        return TruthField(**how) if optional else forms.BooleanField(**how)
    needed = field.default is MISSING and not optional
    if hint is int:
        return forms.IntegerField(**how | {"required": not optional})
    return forms.CharField(max_length=1000, **how | {"required": needed})


def _is_pair(row: Any) -> bool:
    """Whether a row of texts is a name and what is said of it."""
    return len(get_args(row)) == 2 and Ellipsis not in get_args(row)


def _choices(said: Event, name: str) -> list[tuple[str, str]]:
    known = dict.fromkeys((*CHOICES[said.kind, name], said.facts.get(name, "")))
    return [(word, word.replace("-", " ") or "not known") for word in known]


def _unwrapped(hint: Any) -> tuple[Any, bool]:
    """The type inside an optional, and whether it is one."""
    if get_origin(hint) in (Union, types.UnionType):
        inner = [one for one in get_args(hint) if one is not type(None)]
        return inner[0], True
    return hint, False

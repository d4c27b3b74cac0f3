"""What is asked about a case: what belongs in it, and what was packed."""

import re
from typing import Any

from django import forms

from collection.catalogue.queries import pieces as pieces_of
from collection.custody.cases import actions
from collection.custody.cases.models import KitLine
from collection.custody.cases.queries import Contents
from collection.ledger.forms import TellingForm
from collection.ledger.models import Event
from registry.access.models import Membership

MOST = 9999
_KIT = re.compile(r"(\d{1,4})\s*[x×]?\s+(\S.*)")
_APART = re.compile(r"[\s,;]+")


def codes_in(text: str, member: Membership) -> list[str]:
    """Codes of pieces that were typed; raises forms.ValidationError naming what is no piece."""
    typed = list(dict.fromkeys(code.upper() for code in _APART.split(text) if code))
    found = set(pieces_of(member.collection).filter(code__in=typed).values_list("code", flat=True))
    if unknown := [code for code in typed if code not in found]:
        raise forms.ValidationError(f"No such piece: {', '.join(unknown)}.")
    return typed


class PackingListForm(forms.Form):
    """What belongs in a case, and what the case is by itself."""

    pieces = forms.CharField(
        required=False, max_length=4000, label="Pieces that belong in it",
        help_text="Codes, one a line. A piece belongs in one case.",
        widget=forms.Textarea(attrs={"rows": 4}),
    )  # fmt: skip
    kit = forms.CharField(
        required=False, max_length=4000, label="Kit",
        help_text="Things without a code, one a line, the number first: 8 speaker lead, 3 m.",
        widget=forms.Textarea(attrs={"rows": 4}),
    )  # fmt: skip
    tare = forms.DecimalField(
        required=False, min_value=0, max_value=400, decimal_places=2, label="Empty it weighs, kg"
    )
    size = forms.CharField(
        required=False, max_length=60, label="Outside size", help_text="Such as 120 × 60 × 75 cm."
    )

    def __init__(self, *args: Any, member: Membership, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.member = member

    def clean_pieces(self) -> list[str]:
        """Every code is a piece of the collection."""
        return codes_in(self.cleaned_data["pieces"], self.member)

    def clean_kit(self) -> list[tuple[int, str]]:
        """A number and a thing on every line, no thing twice."""
        lines = [line.strip() for line in self.cleaned_data["kit"].splitlines() if line.strip()]
        read = [(line, _KIT.fullmatch(line)) for line in lines]
        if wrong := [line for line, match in read if match is None]:
            raise forms.ValidationError(f"Say how many first, as in '8 leads': {wrong[0]}")
        kit = [(int(match[1]), match[2][:80]) for _, match in read if match]
        things = [what for _, what in kit]
        if twice := [what for what in things if things.count(what) > 1]:
            raise forms.ValidationError(f"On two lines: {twice[0]}.")
        return kit

    def keep(self, case: Any) -> None:
        """Write it down."""
        given = self.cleaned_data
        tare = None if given["tare"] is None else int(given["tare"] * 1000)
        actions.set_packing_list(
            case=case, by=self.member, pieces=given["pieces"], kit=given["kit"],
            tare_grams=tare, size=given["size"],
        )  # fmt: skip


class Ticks(forms.MultipleChoiceField):
    """Boxes as they were ticked: what was seen is taken, also of a line that has gone since."""

    def valid_value(self, value: str) -> bool:
        """Whatever the page offered when it was opened."""
        return True


class PackForm(TellingForm):
    """What is ticked at the open case."""

    pieces = Ticks(required=False)
    goes_with = Ticks(required=False)
    also = forms.CharField(
        required=False, max_length=400, label="Something else in it",
        help_text="Codes of pieces that are not on the list.",
    )  # fmt: skip
    complete = forms.BooleanField(required=False, label="The rest of the kit is complete")

    def __init__(self, *args: Any, contents: Contents, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.contents = contents
        for line in contents.kit:
            self.fields[_field(line)] = forms.IntegerField(
                required=False, min_value=0, max_value=MOST, label=line.what
            )

    def clean_pieces(self) -> list[str]:
        """What was ticked, whatever the book has heard of it since the page was opened."""
        return codes_in(" ".join(self.cleaned_data["pieces"]), self.member)

    def clean_also(self) -> list[str]:
        """Every code is a piece of the collection."""
        return codes_in(self.cleaned_data["also"], self.member)

    @property
    def kit_rows(self) -> list[tuple[Any, forms.BoundField]]:
        """Each kit line with its field."""
        return [(line, self[_field(line)]) for line in self.contents.kit]

    @property
    def ticked(self) -> list[str]:
        """Pieces ticked when a refused form comes back."""
        return self["pieces"].value() or []

    @property
    def ticked_with(self) -> list[str]:
        """What goes with them, ticked likewise."""
        return self["goes_with"].value() or []

    def counted(self) -> dict[str, int]:
        """Kit as it was counted; what was left blank is whole, or was not counted."""
        given = self.cleaned_data
        found = {line.what: given[_field(line)] for line in self.contents.kit}
        if given["complete"]:
            due = {line.what: line.due for line in self.contents.kit}
            found = {what: due[what] if n is None else n for what, n in found.items()}
        return {what: n for what, n in found.items() if n is not None}

    def act(self) -> Event:
        """Write the packing."""
        given = self.cleaned_data
        packed = actions.Packed(
            pieces=(*given["pieces"], *given["also"]),
            goes_with=tuple(given["goes_with"]),
            kit=self.counted(),
        )
        return actions.pack(
            case=self.contents.place, by=self.member, packed=packed, telling=self.telling()
        )


def _field(line: KitLine) -> str:
    """By its key and not its place, or a list changed meanwhile would shift the counts."""
    return f"kit_{line.pk}"

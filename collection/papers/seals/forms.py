"""What is asked when the book is sealed, and when an older seal is checked."""

import secrets
from typing import Any

from django import forms

from collection.core.seal import LONGEST, NoSeal, Seal, read_seal
from collection.custody.queries import parties
from collection.ledger.sealing import queries
from registry.access.models import Collection


class SealForm(forms.Form):
    """Who is given a copy; the seal itself is made, not asked."""

    held_by = forms.MultipleChoiceField(
        required=False, label="Who is given a copy", widget=forms.CheckboxSelectMultiple
    )
    went_to = forms.CharField(
        required=False,
        max_length=120,
        label="Where else it goes",
        help_text="Such as: printed, in the safe.",
    )
    once = forms.CharField(
        required=False, max_length=64, widget=forms.HiddenInput, initial=secrets.token_hex
    )

    def __init__(
        self, *args: Any, collection: Collection, but: tuple[str, ...] = (), **kwargs: Any
    ):
        super().__init__(*args, **kwargs)
        had = {code for kept in queries.seals(collection) for code in kept.held_by}
        people = [one for one in parties(collection) if one.code not in but]
        people.sort(key=lambda one: one.code not in had)  # who had one before is asked first
        self.fields["held_by"].choices = [(one.code, _called(one)) for one in people]


class HandOverForm(SealForm):
    """Somebody else has a copy now."""

    def clean(self) -> dict[str, Any]:
        """At least one of the two says who."""
        given = super().clean()
        if not (given.get("held_by") or given.get("went_to", "").strip()):
            raise forms.ValidationError("Say who has a copy, or where it lies.")
        return given


class CheckForm(forms.Form):
    """A seal kept elsewhere, pasted or as its file."""

    seal = forms.CharField(
        required=False,
        max_length=LONGEST,
        label="The seal",
        help_text="Number of entries, a colon, the root; spaces between groups do not matter.",
        widget=forms.Textarea(attrs={"rows": 3, "autocomplete": "off", "spellcheck": "false"}),
    )
    file = forms.FileField(required=False, label="Or its file", help_text="The JSON file.")

    def clean_file(self) -> str:
        """The text of the file; it is small, and nothing more of a large one is read."""
        file = self.cleaned_data["file"]
        if not file:
            return ""
        try:
            return file.read(LONGEST + 1).decode()
        except UnicodeDecodeError as error:
            raise forms.ValidationError("This file is no text, so it is no seal.") from error

    def clean(self) -> dict[str, Any]:
        """One of the two, read."""
        given = super().clean()
        typed, filed = given.get("seal", "").strip(), given.get("file", "")
        if self.errors:
            return given
        if not (typed or filed):
            raise forms.ValidationError("Paste a seal or choose its file.")
        try:
            self.read = read_seal(typed or filed)
        except NoSeal as error:
            self.add_error("seal" if typed else "file", str(error))
        return given

    read: Seal | None = None


def _called(party: Any) -> str:
    return f"{party.name}, {party.does}" if party.does else party.name

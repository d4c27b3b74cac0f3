"""What is asked of whoever checks a dossier: the file, and a root from elsewhere."""

from typing import Any

from django import forms

from collection.core.dossier_check import Checked, NoDossier, NoSeal, check
from collection.core.seal import LONGEST
from collection.papers.dossier.opened import MOST_FILE, entries_of


class CheckForm(forms.Form):
    """The file is read in memory and forgotten."""

    file = forms.FileField(
        label="The dossier",
        help_text="The PDF as you received it, or entries.json out of it; 24 MB at most.",
    )
    root = forms.CharField(
        required=False,
        max_length=LONGEST,
        label="The root you have from elsewhere",
        help_text="64 signs, or a seal such as 2041:ab12…; not from this PDF itself.",
        widget=forms.Textarea(attrs={"rows": 2, "autocomplete": "off", "spellcheck": "false"}),
    )
    found: Checked | None = None

    def clean_file(self) -> bytes:
        """The entries in the file."""
        file = self.cleaned_data["file"]
        if file.size > MOST_FILE:
            raise forms.ValidationError("The file has more than 24 MB; no dossier is so large.")
        try:
            return entries_of(file.read())
        except NoDossier as refused:
            raise forms.ValidationError(str(refused)) from refused

    def clean(self) -> dict[str, Any]:
        """What came of it; a root that is none stands by its own field."""
        given = super().clean()
        if "file" in given:
            try:
                self.found = check(given["file"], root=given.get("root", ""))
            except NoDossier as refused:
                self.add_error("file", str(refused))
            except NoSeal as refused:
                self.add_error("root", str(refused))
        return given

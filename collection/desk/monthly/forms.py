"""Who is to have each month's seal, and with what."""

from typing import Any

from django import forms

from collection.custody.queries import parties
from registry.access.models import Collection


class ReaderForm(forms.Form):
    """A person or firm with a mail address."""

    party = forms.ModelChoiceField(
        queryset=None,
        to_field_name="code",
        label="Who",
        help_text="Only who has a mail address; it is on their own page.",
    )
    schedule = forms.BooleanField(
        required=False,
        label="With the list of pieces and their agreed values",
        help_text="Confidential: it says what everything is worth.",
    )
    photos = forms.BooleanField(
        required=False,
        label="With pictures of the pieces",
        help_text="Up to 8 MB, none that shows a hidden mark. The hashes of all photos go anyway.",
    )

    def __init__(self, *args: Any, collection: Collection, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["party"].queryset = parties(collection).exclude(email="")

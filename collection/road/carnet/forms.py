"""Why the carnet rule is set aside, or counts again."""

from django import forms

from collection.ledger.forms import TellingForm


class SetAsideForm(TellingForm):
    """The reason, for the book."""

    field_order = ("because", "words")

    because = forms.CharField(max_length=300, label="Why")

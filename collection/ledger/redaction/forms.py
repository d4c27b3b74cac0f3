"""Why words are taken out, and that it is meant."""

import secrets

from django import forms

SURE = "They cannot be brought back, from this register or from its proofs."


class TakeOutForm(forms.Form):
    """A reason that stays in the book for everybody, so no personal word belongs in it."""

    because = forms.CharField(
        max_length=200,
        label="Why they are taken out",
        help_text="This stays in the book: write no name here.",
    )
    sure = forms.BooleanField(label="Take them out for good", help_text=SURE)
    once = forms.CharField(
        required=False, max_length=64, widget=forms.HiddenInput, initial=secrets.token_hex
    )

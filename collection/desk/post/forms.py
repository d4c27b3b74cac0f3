"""The address that letters go to."""

from django import forms


class AddressForm(forms.Form):
    """Where this member's letters go; left empty, none are written."""

    email = forms.EmailField(
        required=False, label="Mail address", help_text="Left empty, you get no letters.",
        widget=forms.EmailInput(attrs={"autocomplete": "email"}),
    )  # fmt: skip

"""What is asked on the page of a fault."""

from django import forms


class PressForm(forms.Form):
    """One press, with a line when there is something to say."""

    words = forms.CharField(required=False, max_length=400, label="Anything to add")
    once = forms.CharField(required=False, max_length=64, widget=forms.HiddenInput)


class ProvenAfterForm(forms.Form):
    """After how many clean shows a fault counts as proven."""

    shows = forms.IntegerField(
        min_value=1, max_value=60, label="Proven after so many shows without it",
        help_text="A house rule: nobody has published a number.",
    )  # fmt: skip

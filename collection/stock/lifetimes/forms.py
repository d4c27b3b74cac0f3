"""Which lives speak together."""

from django import forms

from collection.stock.models import Outlook


class LivesFromForm(forms.Form):
    """By maker, by lot, or pooled; looked at by GET, stored by POST."""

    CHOICES = frozenset(Outlook.LivesFrom.values)

    lives_from = forms.ChoiceField(
        choices=Outlook.LivesFrom.choices, widget=forms.RadioSelect, label="Lives of"
    )

"""Forms of the wanted list."""

from django import forms

from collection.road.wanted.models import Wanted


class WantForm(forms.Form):
    """Something to look for or to get done."""

    what = forms.CharField(max_length=160, label="What")
    why = forms.CharField(max_length=300, label="Why")
    how = forms.ChoiceField(label="How", choices=Wanted.How.choices, initial=Wanted.How.BUY)


class CloseForm(forms.Form):
    """What closed it."""

    closed_by = forms.CharField(max_length=200, label="What closed it")

"""What is asked for a link to a job, and of the repairer who holds it."""

from typing import Any

from django import forms

from collection.bench.jobs.forms import LINES, PieceField
from collection.bench.jobs.models import Job
from collection.catalogue.photo_field import PhotoField

MOST_ONCE = 58  # with 'guest-' before it, it fills the 64 characters of an entry's


class ShareForm(forms.Form):
    """For whom a link is, and for how long."""

    label = forms.CharField(max_length=80, label="For whom")
    days = forms.TypedChoiceField(
        choices=[(3, "3 days"), (7, "1 week"), (14, "2 weeks"), (30, "30 days")],
        coerce=int, initial=14, label="Opens for", widget=forms.RadioSelect,
    )  # fmt: skip


class GuestForm(forms.Form):
    """What the repairer writes by the link: one finding, one photo."""

    piece = PieceField()
    finding = forms.CharField(max_length=400, label="What you found", widget=LINES)
    photo = PhotoField()
    once = forms.CharField(required=False, max_length=MOST_ONCE, widget=forms.HiddenInput)

    def __init__(self, *args, job: Job, **kwargs) -> None:
        super().__init__(*args, **kwargs)
        self.fields["piece"].queryset = job.pieces.all()
        self.fields["piece"].initial = job.pieces.first()

    def clean(self) -> dict[str, Any]:
        """A photo does not survive a form that comes back: say so."""
        if self.errors and self.cleaned_data.get("photo"):
            self.add_error("photo", "Choose the photo once more; the browser does not keep it.")
        return self.cleaned_data

"""What is typed for a report: hall and weather, and who gets it by letter."""

from typing import Any

from django import forms

from collection.custody.queries import parties
from collection.desk.reports.night import HALL
from collection.ledger.actions import note
from collection.ledger.forms import WritingForm
from collection.ledger.models import Event
from collection.road.models import Show
from registry.access.models import Collection


class HallForm(WritingForm):
    """One line on the hall or the weather."""

    def __init__(self, *args: Any, show: Show, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.show = show
        self.fields["words"] = forms.CharField(
            max_length=400,
            label="Hall and weather",
            widget=forms.TextInput(attrs={"placeholder": "Damp stage, hall hums on dimmer 3"}),
        )

    def clean_when(self) -> str:
        """Nothing typed means the night of the show."""
        if self.cleaned_data["when"].strip():
            return super().clean_when()
        return self.show.ended_as_text(now=self.now)

    def write(self, **how: Any) -> Event:
        """Write it on the show."""
        given = {"collection": self.collection, "by": self.member, "subject": self.show.code}
        return note(**given, about=HALL, **how)


class SendForm(forms.Form):
    """To whom the report goes."""

    party = forms.ModelChoiceField(
        None, to_field_name="code", label="To whom", empty_label="choose",
        help_text="Only who has a mail address; it is on their own page.",
        error_messages={"required": "Choose who gets it."},
    )  # fmt: skip

    def __init__(self, *args: Any, collection: Collection, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["party"].queryset = parties(collection).exclude(email="")

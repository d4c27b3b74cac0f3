"""What forms of loans share: the places a member may know, and photos hung on an entry."""

from typing import Any

from django import forms

from collection.catalogue.actions import add_photo
from collection.custody.choices import NOT_SAID, place_choices
from collection.custody.loans.models import LoanedPiece
from collection.custody.whereabouts import Whereabouts, whereabouts
from collection.ledger.forms import WritingForm

DAY = forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")
LINES = forms.Textarea(attrs={"rows": 2})
VIEWS = (("front", "Photo of the front"), ("back", "Photo of the back"))


class PlacedForm(WritingForm):
    """A writing form that knows the places this member may know."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.known: Whereabouts = whereabouts(self.member)

    def offer_places(self, name: str) -> None:
        """Fill a choice of places."""
        self.fields[name].choices = [NOT_SAID, *place_choices(self.collection, self.known)]

    def place(self, name: str):
        """The place that was chosen; None when none was."""
        return self.known.by_code.get(self.cleaned_data[name])


def keep_photos(form: WritingForm, row: LoanedPiece, views: dict[str, str], *, back: bool) -> None:
    """Keep what was photographed as evidence of the entry that handed it over or back."""
    entry = row.back_entry if back else row.out_entry
    for view in views:
        if data := form.cleaned_data.get(view):
            add_photo(
                collection=form.collection, by=form.member, subject=row.piece.subject, data=data,
                view=view, entry=entry,
            )  # fmt: skip

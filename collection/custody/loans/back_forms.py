"""What is asked once a loan runs: giving back, another last day, signatures, more photos."""

from typing import Any

from django import forms

from collection.catalogue.models import Photo, Piece
from collection.catalogue.photo_field import PhotoField
from collection.core.loan import CAME_ALONG, MISSING
from collection.custody.loans import actions, queries
from collection.custody.loans.models import Loan, LoanedPiece
from collection.custody.loans.placed_forms import DAY, LINES, VIEWS, PlacedForm, keep_photos
from collection.ledger.forms import WritingForm
from collection.ledger.models import Event

SAME = "Stand where the other photo was taken from."


class BackForm(PlacedForm):
    """A piece of a loan is given back: what went along is counted, the same views are taken."""

    at = forms.ChoiceField(required=False, label="Where it is now")
    along = forms.MultipleChoiceField(
        required=False, label="What is back of what went along",
        widget=forms.CheckboxSelectMultiple,
        help_text="Whatever stays open here is missing and becomes a Question.",
    )  # fmt: skip
    condition = forms.CharField(
        max_length=400, required=False, label="How it is now", widget=LINES,
    )  # fmt: skip

    def __init__(self, *args: Any, row: LoanedPiece, pairs: list[queries.Pair], **kwargs) -> None:
        super().__init__(*args, **kwargs)
        self.row = row
        self.offer_places("at")
        self.fields["along"].choices = [(what, what) for what in row.goes_with]
        if not row.goes_with:
            del self.fields["along"]
        views = {_key(pair): f"The same view: {pair.view.lower()}" for pair in pairs} or dict(VIEWS)
        self.views = views
        for view, label in views.items():
            self.fields[view] = PhotoField(label=label, help_text=SAME)
        own = [name for name in self.fields if name not in WritingForm.base_fields]
        self.order_fields([*own, "words"])

    def write(self, **how: Any) -> Event:
        """Write that it is back, and hang the photos on that entry."""
        said = self.cleaned_data
        there = set(said.get("along", ()))
        along = tuple((w, CAME_ALONG if w in there else MISSING) for w in self.row.goes_with)
        back = actions.Back(
            piece=self.row.piece, along=along, condition=said["condition"],
            at=self.place("at"), **how,
        )  # fmt: skip
        event = actions.give_back(loan=self.row.loan, by=self.member, back=back)
        self.row.refresh_from_db()
        keep_photos(self, self.row, self.views, back=True)
        return event


def _key(pair: queries.Pair) -> str:
    photo = pair.before or pair.after
    return photo.view if photo else Photo.View.OTHER


class NewEndForm(WritingForm):
    """A loan runs longer than was agreed, or a day was mistyped."""

    ends_on = forms.DateField(label="New last day", widget=DAY)
    reason = forms.CharField(max_length=200, label="Why")
    authorised_by = forms.CharField(max_length=80, label="Who authorised it")

    def __init__(self, *args: Any, loan: Loan, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.loan = loan
        self.fields["ends_on"].initial = loan.ends_on

    def write(self, **how: Any) -> Event:
        """Write the new end."""
        said = {name: self.cleaned_data[name] for name in ("ends_on", "reason", "authorised_by")}
        end = actions.NewEnd(**said, **how)
        return actions.extend(loan=self.loan, by=self.member, end=end)


class SignedForm(forms.Form):
    """The sheet with both signatures, photographed."""

    photo = PhotoField(required=True, label="The signed sheet, photographed")


class OutPhotoForm(forms.Form):
    """One more view of a piece of the loan."""

    piece = forms.ModelChoiceField(None, to_field_name="code", label="Of which piece")
    moment = forms.ChoiceField(
        choices=[("out", "as it was handed over"), ("back", "as it was given back")], label="When"
    )
    view = forms.ChoiceField(choices=Photo.View.choices, label="View")
    photo = PhotoField(required=True, label="Photo")

    def __init__(self, *args: Any, loan: Loan, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.loan = loan
        self.fields["piece"].queryset = Piece.objects.of(loan.collection).filter(loaned__loan=loan)
        self.fields["piece"].empty_label = None

    def clean(self) -> dict[str, Any]:
        """What has not come back cannot be photographed as it came back."""
        given = super().clean()
        if given.get("moment") == "back" and (piece := given.get("piece")):
            row = self.loan.pieces.get(piece=piece)
            if row.back_entry is None:
                self.add_error("moment", f"{piece.code} is not back yet.")
        return given

    def entry(self) -> int:
        """The entry the photo is evidence for."""
        row = self.loan.pieces.get(piece=self.cleaned_data["piece"])
        back = self.cleaned_data["moment"] == "back"
        return row.back_entry if back else row.out_entry

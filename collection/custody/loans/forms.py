"""What is asked when a piece is lent, taken in, or given back."""

from typing import Any

from django import forms

from collection.catalogue.actions import add_photo
from collection.catalogue.models import Photo, Piece, PieceKind
from collection.catalogue.money_field import AmountField
from collection.catalogue.photo_field import PhotoField
from collection.core.loan import CAME_ALONG, MISSING
from collection.custody.choices import NOT_SAID, party_choices, place_choices
from collection.custody.loans import actions, plans, queries
from collection.custody.loans.models import Loan, LoanedPiece
from collection.custody.models import Party
from collection.custody.whereabouts import Whereabouts, whereabouts
from collection.ledger.forms import WritingForm
from collection.ledger.models import Event

DAY = forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")
LINES = forms.Textarea(attrs={"rows": 2})
VIEWS = (("front", "Photo of the front"), ("back", "Photo of the back"))
SAME = "Stand where the other photo was taken from."


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


class PeriodForm(PlacedForm):
    """What every loan has: with whom, why, from when until when, who covers it, who said yes."""

    party = forms.ChoiceField(label="Who")
    reason = forms.CharField(max_length=200, label="What for")
    begins_on = forms.DateField(label="From", widget=DAY)
    ends_on = forms.DateField(
        label="Until", widget=DAY, help_text="Every loan has an end; it can be made later."
    )
    authorised_by = forms.CharField(max_length=80, label="Who authorised it")
    value = AmountField(required=False, label="Insured for")
    insurer = forms.CharField(
        max_length=120, required=False, label="Who covers it", help_text="On the way too."
    )
    evidence = forms.CharField(
        max_length=200, required=False, label="What shows it", help_text="Policy, certificate."
    )

    likely: tuple[str, ...] = ()

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        who = party_choices(self.collection, *self.likely)
        self.fields["party"].choices = [("", "choose"), *who]
        self.fields["value"].in_currency(self.collection.currency)
        self.fields["value"].label += f", {self.collection.currency}"
        self.fields["begins_on"].initial = self.now.astimezone(self.collection.zone_info).date()

    def clean(self) -> dict[str, Any]:
        """It ends after it begins."""
        given = super().clean()
        begins, ends = given.get("begins_on"), given.get("ends_on")
        if begins and ends and ends < begins:
            self.add_error("ends_on", "It would end before it begins.")
        return given

    def terms(self, **more: Any) -> actions.Terms:
        """What was agreed."""
        said = self.cleaned_data
        names = ("reason", "begins_on", "ends_on", "authorised_by", "insurer", "evidence")
        return actions.Terms(
            value_minor=said["value"], **{name: said[name] for name in names}, **more
        )

    def partner(self) -> Party:
        """With whom."""
        return Party.objects.of(self.collection).get(code=self.cleaned_data["party"])


class LendForm(PeriodForm):
    """Pieces of ours go to somebody for a while."""

    pieces = forms.MultipleChoiceField(label="Pieces")
    along = forms.MultipleChoiceField(
        required=False, label="What goes along", widget=forms.CheckboxSelectMultiple
    )
    condition = forms.CharField(
        max_length=400, required=False, label="How it is", widget=LINES,
        help_text="Scars, noises, what is loose; what is sound is worth a word too.",
    )  # fmt: skip
    front = PhotoField(label="Photo of the front")
    back = PhotoField(label="Photo of the back")
    knowing = forms.BooleanField(
        required=False, label="Lend it all the same", widget=forms.HiddenInput
    )

    field_order = ["pieces", "party", "reason", "begins_on", "ends_on", "along", "condition"]
    likely = ("borrow", "museum", "studio", "band", "artist", "technician")

    def __init__(self, *args: Any, asked: list[str], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        rows = list(queries.lendable(self.collection))
        self.fields["pieces"].choices = [(row.code, f"{row.code} {row.called}") for row in rows]
        chosen = [row for row in rows if row.code in asked]
        self.fields["along"].choices = [
            (f"{row.code}|{what}", what if len(chosen) == 1 else f"{what}, of {row.code}")
            for row in chosen
            for what in queries.along_of(row)
        ]
        self.fields["along"].initial = [value for value, _ in self.fields["along"].choices]
        if not self.fields["along"].choices:
            del self.fields["along"]
        self.order_fields([*self.field_order, *self.fields])
        self.warned: tuple[plans.Needed, ...] = ()

    def clean(self) -> dict[str, Any]:
        """What a rig plan needs meanwhile is said once; lending it all the same is a choice."""
        given = super().clean()
        if {"pieces", "begins_on", "ends_on"} <= given.keys() and not self.errors:
            self.warned = plans.needed(
                self.collection, given["pieces"], begins=given["begins_on"], ends=given["ends_on"]
            )
        if self.warned and not given.get("knowing"):
            for one in self.warned:
                self.add_error(None, f"{one.piece} is {one.as_what} for {one.show}.")
            self.fields["knowing"].widget = forms.CheckboxInput()
        return given

    def write(self, **how: Any) -> Loan:
        """Write the loan, and hang the photos on its first entry."""
        said = self.cleaned_data
        handed = [
            actions.Handed(code, self._along(code), said["condition"]) for code in said["pieces"]
        ]
        loan = actions.lend(
            collection=self.collection, by=self.member, pieces=handed, to=self.partner(),
            terms=self.terms(), **how,
        )  # fmt: skip
        if len(handed) == 1:
            keep_photos(self, loan.pieces.get(), dict(VIEWS), back=False)
        return loan

    def _along(self, code: str) -> tuple[str, ...]:
        ticked = (value.partition("|") for value in self.cleaned_data.get("along", ()))
        return tuple(what for piece, _, what in ticked if piece == code)


class TakeInForm(PeriodForm):
    """Something of somebody else's is ours to use for a while."""

    piece = forms.ChoiceField(
        required=False, label="Which piece", help_text="One the register knows already."
    )
    name = forms.CharField(max_length=80, required=False, label="Or what it is, when it is new")
    kind = forms.ChoiceField(choices=PieceKind.choices, label="Kind of a new one")
    hired = forms.ChoiceField(
        choices=[("yes", "hired, for money"), ("no", "borrowed")], initial="yes",
        label="On what terms", widget=forms.RadioSelect,
    )  # fmt: skip
    price = forms.CharField(max_length=60, required=False, label="What it costs")
    at = forms.ChoiceField(required=False, label="Where it is now")
    goes_with = forms.CharField(
        max_length=200, required=False, label="What came along", help_text="Footswitch, lead."
    )
    condition = forms.CharField(max_length=400, required=False, label="How it is", widget=LINES)

    field_order = ["piece", "name", "kind", "hired", "party"]
    likely = ("hire", "promoter", "owner", "owns", "lend")

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        rows = queries.lendable(self.collection)
        known = [(row.code, f"{row.code} {row.called}") for row in rows]
        self.fields["piece"].choices = [("", "a new one"), *known]
        self.offer_places("at")
        self.order_fields([*self.field_order, *self.fields])

    def clean(self) -> dict[str, Any]:
        """A piece or the name of a new one."""
        given = super().clean()
        if not given.get("piece") and not given.get("name"):
            self.add_error("name", "Choose a piece, or say what it is.")
        return given

    def write(self, **how: Any) -> Loan:
        """Write the loan; a new piece enters the register with it."""
        said = self.cleaned_data
        along = tuple(part.strip() for part in said["goes_with"].split(",") if part.strip())
        agreed = {
            "collection": self.collection, "by": self.member, "of": self.partner(),
            "hired": said["hired"] == "yes",
            "terms": self.terms(at=self.place("at"), price=said["price"]), **how,
        }  # fmt: skip
        if said["piece"]:
            handed = [actions.Handed(said["piece"], along, said["condition"])]
            return actions.take_in(pieces=handed, **agreed)
        thing = actions.NewThing(said["kind"], said["name"], along, said["condition"])
        return actions.take_in_new(thing=thing, **agreed)


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


def keep_photos(form: WritingForm, row: LoanedPiece, views: dict[str, str], *, back: bool) -> None:
    """Keep what was photographed as evidence of the entry that handed it over or back."""
    entry = row.back_entry if back else row.out_entry
    for view in views:
        if data := form.cleaned_data.get(view):
            add_photo(
                collection=form.collection, by=form.member, subject=row.piece.subject, data=data,
                view=view, entry=entry,
            )  # fmt: skip


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

"""What is asked when a piece is lent or taken in."""

from typing import Any

from django import forms

from collection.catalogue.models import PieceKind
from collection.catalogue.money_field import AmountField
from collection.catalogue.photo_field import PhotoField
from collection.custody.actions import add_party
from collection.custody.choices import party_choices
from collection.custody.loans import actions, plans, queries
from collection.custody.loans.models import Loan
from collection.custody.loans.placed_forms import DAY, LINES, VIEWS, PlacedForm, keep_photos
from collection.custody.models import Party
from collection.ledger.actions import open_book


class PeriodForm(PlacedForm):
    """What every loan has: with whom, why, from when until when, who covers it, who said yes."""

    party = forms.ChoiceField(required=False, label="Who")
    stranger = forms.CharField(max_length=80, required=False, label="Or somebody new: the name")
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
        """It is with somebody, and ends after it begins."""
        given = super().clean()
        if not given.get("party") and not given.get("stranger") and "party" not in self.errors:
            self.add_error("party", "Choose somebody, or write the name of somebody new.")
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
        """With whom; somebody new enters the register."""
        rows, said = Party.objects.of(self.collection), self.cleaned_data
        if said["party"]:
            return rows.get(code=said["party"])
        known = rows.filter(name__iexact=said["stranger"]).first()
        return known or add_party(collection=self.collection, by=self.member, name=said["stranger"])

    def write(self, **how: Any) -> Loan:
        """Write the loan in one act: if it is refused, nobody and nothing new has entered."""
        with open_book(self.collection, self.member):
            return self.write_loan(**how)

    def write_loan(self, **how: Any) -> Loan:
        """Call the action that writes the loan."""
        raise NotImplementedError


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

    field_order = [
        "pieces",
        "party",
        "stranger",
        "reason",
        "begins_on",
        "ends_on",
        "along",
        "condition",
    ]
    likely = ("borrow", "museum", "studio", "band", "artist", "technician")

    def __init__(self, *args: Any, asked: list[str], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        rows = list(queries.lendable(self.collection))
        self.tags = {row.code: tag for row in rows if (tag := queries.tag_of(row))}
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
        """A tag and what a rig plan needs are said first; lending all the same is a choice."""
        given = super().clean()
        if {"pieces", "begins_on", "ends_on"} <= given.keys() and not self.errors:
            self.warned = plans.needed(
                self.collection, given["pieces"], begins=given["begins_on"], ends=given["ends_on"]
            )
        against = [f"{one.piece} is {one.as_what} for {one.show}." for one in self.warned]
        against += [
            f"{code} carries DO NOT POWER: {self.tags[code]}. Whoever takes it has to know."
            for code in given.get("pieces", ())
            if code in self.tags
        ]
        if against and not given.get("knowing"):
            for reason in against:
                self.add_error(None, reason)
            self.fields["knowing"].widget = forms.CheckboxInput()
        return given

    def write_loan(self, **how: Any) -> Loan:
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

    field_order = ["piece", "name", "kind", "hired", "party", "stranger"]
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

    def write_loan(self, **how: Any) -> Loan:
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

"""What is asked about a carnet: its paper, other goods, the issue, a crossing, a stamp."""

from datetime import date
from typing import Any

from django import forms

from collection.catalogue.money_field import AmountField
from collection.catalogue.photo_field import PhotoField
from collection.core.border import DIRECTIONS, NEVER_UNSTAMPED, valid_at_most_until
from collection.core.cautions import Caution
from collection.core.countries import ASSIGNED
from collection.core.customs import LONGEST_MONTHS
from collection.ledger.forms import OnceForm, WritingForm
from collection.papers.borders import actions
from collection.papers.borders.actions import Passed
from collection.papers.borders.models import CarnetCrossing, ListedGoods
from collection.papers.borders.queries import Borders
from collection.road.carnet.models import Carnet
from collection.road.models import Tour

DAY = forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")
GRAMS = 1000


class CountryField(forms.CharField):
    """Two letters of ISO 3166-1, in capitals."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(max_length=2, **kwargs)
        self.widget.attrs |= {"size": 3, "autocapitalize": "characters"}

    def clean(self, value: str) -> str:
        """Capitals; refused when no country has the letters."""
        code = super().clean(value).upper()
        if code and code not in ASSIGNED:
            hint = "Great Britain is GB." if code == "UK" else "Two letters, such as GB or NO."
            raise forms.ValidationError(f"{code} is no country. {hint}")
        return code


class CarnetForm(forms.Form):
    """What stands on the cover."""

    number = forms.CharField(max_length=40, required=False, label="Number on the paper")
    chamber = forms.CharField(max_length=80, required=False, label="Issuing chamber")
    holder = forms.CharField(max_length=80, required=False, label="Holder")
    traveller = forms.CharField(max_length=80, required=False, label="Who travels with the goods")
    home = CountryField(label="Country it comes home to", initial="GB")
    currency = forms.RegexField(
        r"^[A-Z]{3}$", label="Currency of all values", help_text="Three letters, such as GBP."
    )

    def keep(self, *, tour: Tour, by: Any) -> Carnet:
        """Begin the carnet or write its paper anew."""
        return actions.begin(tour=tour, by=by, **self.cleaned_data)


class GoodsForm(OnceForm):
    """Goods without a code of their own."""

    kind = forms.ChoiceField(
        choices=ListedGoods.Kind.choices, label="Kind", widget=forms.RadioSelect
    )
    what = forms.CharField(
        max_length=120, label="Trade description",
        help_text="‘Set of cables’, ‘hand tool kit’, ‘amplifier stand, steel’. No boxes or bags.",
    )  # fmt: skip
    count = forms.IntegerField(min_value=1, max_value=999, initial=1, label="How many, all alike")
    inside = forms.IntegerField(
        required=False, min_value=1, max_value=999, label="Tools in the kit",
        help_text="Asked for when it is worth more than 150.",
    )  # fmt: skip
    kilograms = forms.DecimalField(
        required=False, min_value=0, max_digits=7, decimal_places=3, label="Mass of one, kg"
    )
    value = AmountField(required=False, label="Value of one")
    made_in = CountryField(required=False, label="Country of manufacture")
    field_order = ("kind", "what", "count", "inside", "kilograms", "value", "made_in")

    def facts(self) -> dict[str, Any]:
        """What the action takes."""
        given = dict(self.cleaned_data)
        kilograms, value = given.pop("kilograms"), given.pop("value")
        grams = None if kilograms is None else round(kilograms * GRAMS)
        return given | {"grams": grams, "value_minor": value}


class IssueForm(WritingForm):
    """The chamber has issued it."""

    issued_on = forms.DateField(label="Issued on", widget=DAY)
    valid_until = forms.DateField(
        required=False, label="Valid until", widget=DAY,
        help_text="Left empty: a year from the issue, which is the longest there is.",
    )  # fmt: skip

    def __init__(self, *args: Any, page: Borders, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.page = page
        self.fields["issued_on"].initial = page.today

    def write(self, **how: Any) -> Carnet:
        """Freeze the list."""
        given = self.cleaned_data
        until = given["valid_until"] or valid_at_most_until(given["issued_on"], LONGEST_MONTHS)
        dates = {"issued_on": given["issued_on"], "valid_until": until}
        return actions.issue(page=self.page, by=self.member, **dates, **how)


class CrossForm(WritingForm):
    """One crossing, written while the counterfoil is in the hand."""

    direction = forms.ChoiceField(
        choices=[(code, f"{words} ({code})") for code, words in DIRECTIONS.items()],
        label="Which way", widget=forms.RadioSelect,
    )  # fmt: skip
    country = CountryField(
        label="Country whose customs stamped it", help_text="Two letters, such as NO."
    )
    place = forms.CharField(max_length=80, label="Customs office or port")
    on = forms.DateField(label="Day", widget=DAY)
    stamped = forms.ChoiceField(
        choices=[("yes", "stamped, I have read it"), ("no", "not stamped")],
        label="The counterfoil", widget=forms.RadioSelect,
    )  # fmt: skip
    photo = PhotoField(label="Photo of the stamped counterfoil")
    voucher = forms.CharField(max_length=20, required=False, label="Voucher number")
    items = forms.CharField(
        max_length=80, required=False, label="Item numbers",
        help_text="Left empty: all. Else such as 1–12, 15.",
    )  # fmt: skip
    out_by = forms.DateField(
        required=False, label="Last day of re-export", widget=DAY,
        help_text="Customs may write an earlier one on an import.",
    )  # fmt: skip

    caution_before = "stamped"
    cautions = (Caution("Do not leave unstamped.", NEVER_UNSTAMPED),)

    def __init__(self, *args: Any, carnet: Carnet, today: date, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.carnet = carnet
        self.fields["on"].initial = today

    def clean_on(self) -> date:
        """A crossing has happened."""
        day = self.cleaned_data["on"]
        if day > self.now.astimezone(self.collection.zone_info).date():
            raise forms.ValidationError("This day has not come yet.")
        return day

    def write(self, **how: Any) -> CarnetCrossing:
        """Keep the crossing."""
        given = {name: self.cleaned_data[name] for name in Passed.__dataclass_fields__}
        passed = Passed(**(given | {"stamped": given["stamped"] == "yes"}))
        return actions.cross(carnet=self.carnet, by=self.member, passed=passed, **how)


class PutRightForm(WritingForm):
    """How a missing stamp was put right."""

    on = forms.DateField(label="On", widget=DAY)
    how_right = forms.CharField(
        max_length=300, label="By what",
        help_text="Such as: the chamber took ferry ticket and show papers, their letter of …",
    )  # fmt: skip

    def __init__(self, *args: Any, crossing: CarnetCrossing, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.crossing = crossing

    def write(self, **how: Any) -> CarnetCrossing:
        """Keep it."""
        given = self.cleaned_data
        said = {"on": given["on"], "how": given["how_right"]}
        return actions.put_right(crossing=self.crossing, by=self.member, **said, **how)

"""The form of a country's mains."""

from django import forms

from collection.road.forms import DAY


class SupplyForm(forms.Form):
    """Volts and hertz of a country, with who says so and as of when."""

    volts = forms.IntegerField(min_value=90, max_value=480, label="Volts")
    hertz = forms.TypedChoiceField(
        required=False, coerce=int, empty_value=None, label="Hertz",
        choices=[("", "differs within the country"), ("50", "50 Hz"), ("60", "60 Hz")],
    )  # fmt: skip
    source = forms.CharField(max_length=120, label="Who says so")
    as_of = forms.DateField(label="As of", widget=DAY)


class CountryForm(forms.Form):
    """A country that is not in the table yet."""

    country = forms.RegexField(
        r"^[A-Za-z]{2}\Z", label="Country, two letters",
        error_messages={"invalid": "Two letters, such as NO."},
    )  # fmt: skip

    def clean_country(self) -> str:
        """Countries are written in capitals."""
        return self.cleaned_data["country"].upper()

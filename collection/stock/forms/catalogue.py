"""What there is: a type with its limits, a lot of alike parts."""

from typing import Any

from django import forms

from collection.ledger.codes import well_formed
from collection.ledger.forms import TellingForm
from collection.stock.models import PartType

LIMITS = (
    "does", "base", "heater_volts", "heater_amps", "plate_watts", "rating_system", "sheet",
    "set_size", "clock", "noun",
)  # fmt: skip
NUMBERS = ("heater_volts", "heater_amps", "plate_watts")


class TypeForm(forms.ModelForm):
    """A part type; a limit always stands with its sheet and rating system."""

    code = forms.SlugField(
        max_length=24, label="Type", help_text="As printed on the tube, such as EL34 or 12AX7."
    )
    equivalents = forms.CharField(
        required=False,
        max_length=200,
        label="Exact equivalents",
        help_text="Other names of the same thing, such as 6BQ5. They are one stock.",
    )
    near_types = forms.CharField(
        required=False,
        max_length=1000,
        label="Near types",
        widget=forms.Textarea(attrs={"rows": 2}),
        help_text="One a line, with what differs: 7189: higher plate volts.",
    )

    class Meta:
        model = PartType
        fields = ("code", *LIMITS)
        labels = {
            "heater_volts": "Heater, V",
            "heater_amps": "Heater, A",
            "plate_watts": "Plate dissipation, W",
            "set_size": "How many are fed together",
            "clock": "What its hours count",
            "noun": "One of them is called",
        }
        help_texts = {
            "rating_system": "Which system the sheet's limits rest on: design-centre, "
            "design-maximum or absolute. The same number means different things.",
            "sheet": "Whose sheet, and its date.",
            "noun": "tube, loop, belt, cone, pickup, reed.",
            "set_size": "1 singly, 2 in matched pairs, 4 in matched quads.",
        }

    def __init__(self, *args, **kwargs) -> None:
        super().__init__(*args, **kwargs)
        self.fields["noun"].required = False
        if self.instance.pk:
            self.fields["code"].disabled = True
            self.fields["equivalents"].initial = ", ".join(self.instance.same_as)
            lines = (f"{code}: {differs}" for code, differs in self.instance.near.items())
            self.fields["near_types"].initial = "\n".join(lines)

    def clean_equivalents(self) -> list[str]:
        """Codes, in the order typed."""
        codes = [code.strip() for code in self.cleaned_data["equivalents"].split(",")]
        return [code for code in dict.fromkeys(codes) if code and code != self.data.get("code")]

    def clean_near_types(self) -> dict[str, str]:
        """What differs, by code."""
        lines = [line for line in self.cleaned_data["near_types"].splitlines() if line.strip()]
        pairs = (line.partition(":") for line in lines)
        return {code.strip(): differs.strip() for code, _, differs in pairs if code.strip()}

    def clean(self) -> dict[str, Any]:
        """A number without its sheet and rating system says nothing."""
        given = super().clean()
        if any(given.get(name) is not None for name in NUMBERS[2:]):
            for name in ("rating_system", "sheet"):
                if not given.get(name):
                    self.add_error(name, "A limit is read with its sheet and rating system.")
        return given

    def limits(self) -> dict[str, Any]:
        """What the actions take."""
        given = self.cleaned_data
        own = {name: given[name] for name in LIMITS} | {"noun": given["noun"] or "tube"}
        return own | {"same_as": given["equivalents"], "near": given["near_types"]}


class LotForm(TellingForm):
    """Alike parts bought together."""

    code = forms.CharField(
        required=False, max_length=40, label="Code", help_text="Left empty, the next is taken."
    )
    brand = forms.CharField(required=False, max_length=60, label="Brand")
    marking = forms.CharField(required=False, max_length=80, label="Marking as seen")
    origin = forms.CharField(required=False, max_length=160, label="Where it came from")
    drawer = forms.CharField(required=False, max_length=40, label="Drawer")
    in_sets = forms.BooleanField(
        required=False,
        label="Counted in matched sets",
        help_text="Ticked, every number of this lot counts sets, never single tubes.",
    )

    def clean_code(self) -> str:
        """A code such as L-004, in capitals."""
        code = self.cleaned_data["code"].strip().upper()
        if code and not well_formed(code):
            raise forms.ValidationError(f"{code} is no code. Codes look like L-004.")
        return code

    def described(self) -> dict[str, Any]:
        """What the action takes."""
        names = ("code", "brand", "marking", "origin", "drawer", "in_sets")
        return {name: self.cleaned_data[name] for name in names}

"""Makers, designs, circuits and their positions, as forms."""

from django import forms

from collection.catalogue import queries
from collection.catalogue.models import Circuit, Design, Maker
from collection.core.partial_date import PartialDate, PartialDateError
from registry.access.models import Collection


def design_words(design: Design) -> str:
    """A design as choices name it, its maker first."""
    return f"{design.maker} {design.name}" if design.maker else design.name


class MakerForm(forms.ModelForm):
    """A maker by name."""

    class Meta:
        model = Maker
        fields = ["name", "note"]

    def __init__(self, *args, collection: Collection, **kwargs) -> None:
        super().__init__(*args, **kwargs)
        self.collection = collection

    def clean_name(self) -> str:
        """A name that no other maker here has."""
        name = self.cleaned_data["name"].strip()
        others = queries.makers(self.collection).filter(name__iexact=name)
        if others.exclude(pk=self.instance.pk).exists():
            raise forms.ValidationError(f"{name} is in the register already.")
        return name

    def _post_clean(self) -> None:
        """The action writes."""


class DesignForm(forms.ModelForm):
    """What a maker drew."""

    maker = forms.CharField(
        required=False,
        max_length=80,
        widget=forms.TextInput(attrs={"list": "makers", "autocomplete": "off"}),
    )
    panel = forms.CharField(
        required=False,
        label="Panel controls",
        help_text="One a line, left to right.",
        widget=forms.Textarea(attrs={"rows": 3}),
    )

    class Meta:
        model = Design
        fields = ["maker", "kind", "family", "name", "produced", "panel", "warm_up_minutes",
                  "check_minutes"]  # fmt: skip
        help_texts = {"produced": "As you know it: 1964 to 1968, about 1960."}

    def __init__(self, *args, collection: Collection, **kwargs) -> None:
        design = kwargs.get("instance")
        said = {"maker": design.maker or "", "panel": "\n".join(design.panel)} if design else {}
        super().__init__(*args, initial=said, **kwargs)
        self.collection = collection

    def clean_produced(self) -> str:
        """The span as EDTF text."""
        said = self.cleaned_data["produced"].strip()
        try:
            return PartialDate.read(said).text if said else ""
        except PartialDateError as error:
            raise forms.ValidationError(f"This span cannot be read: {error.reason}.") from error

    def clean_panel(self) -> list[str]:
        """One control a line."""
        return [line.strip() for line in self.cleaned_data["panel"].splitlines() if line.strip()]

    def clean(self) -> dict:
        """A maker does not draw two designs of one name."""
        given = super().clean()
        same = queries.designs(self.collection).filter(
            name__iexact=(given.get("name") or "").strip()
        )
        maker = (given.get("maker") or "").strip()
        same = same.filter(maker__name__iexact=maker) if maker else same.filter(maker=None)
        if same.exclude(pk=self.instance.pk).exists():
            self.add_error("name", "This maker has a design of this name already.")
        return given

    def _post_clean(self) -> None:
        """The action writes."""


class CircuitForm(forms.ModelForm):
    """A schematic and its revision, with the circuits that may stand in."""

    class Meta:
        model = Circuit
        fields = ["name", "design", "bias", "mains_volts", "mains_hz", "load_ohms", "plate_volts",
                  "note", "close_to"]  # fmt: skip
        labels = {
            "mains_volts": "Mains, volts",
            "mains_hz": "Mains, hertz",
            "load_ohms": "Load, ohms",
            "plate_volts": "Plate, volts",
            "close_to": "Declared close: may stand in",
        }
        widgets = {"close_to": forms.CheckboxSelectMultiple}

    def __init__(self, *args, collection: Collection, **kwargs) -> None:
        super().__init__(*args, **kwargs)
        self.collection = collection
        self.fields["design"].queryset = queries.designs(collection)
        self.fields["design"].label_from_instance = design_words
        others = queries.circuits(collection).exclude(pk=self.instance.pk)
        self.fields["close_to"].queryset = others
        if not others.exists():
            del self.fields["close_to"]

    def clean_name(self) -> str:
        """A name that no other circuit here has."""
        name = self.cleaned_data["name"].strip()
        others = queries.circuits(self.collection).filter(name__iexact=name)
        if others.exclude(pk=self.instance.pk).exists():
            raise forms.ValidationError(f"{name} is in the register already.")
        return name

    def _post_clean(self) -> None:
        """The action writes."""


class PositionForm(forms.Form):
    """One position; an empty name leaves it out."""

    name = forms.CharField(required=False, max_length=24)
    does = forms.CharField(required=False, max_length=40, label="What it does")
    fits = forms.CharField(
        required=False, max_length=200, label="What fits, best first, with commas"
    )
    grade = forms.CharField(required=False, max_length=16, label="Grade needed")
    matched_with = forms.CharField(required=False, max_length=24, label="Fed as the set")

    def clean_fits(self) -> list[str]:
        """Codes of part types, best first."""
        return [code.strip() for code in self.cleaned_data["fits"].split(",") if code.strip()]

    def clean(self) -> dict:
        """What is said of a position needs its name."""
        given = super().clean()
        if not given.get("name") and any(value for value in given.values()):
            self.add_error("name", "Give the position a name, or empty its line.")
        return given


class PositionsOfOneCircuit(forms.BaseFormSet):
    """The lines of a chart; no name twice."""

    def clean(self) -> None:
        names = [form.cleaned_data.get("name", "") for form in self.forms if form.is_valid()]
        twice = sorted({name for name in names if name and names.count(name) > 1})
        if twice:
            raise forms.ValidationError(f"Two positions are called {', '.join(twice)}.")

    def described(self) -> tuple[dict, ...]:
        """The named positions in their order."""
        given = (form.cleaned_data for form in self.forms)
        return tuple(dict(position) for position in given if position.get("name"))


PositionFormSet = forms.formset_factory(
    PositionForm, formset=PositionsOfOneCircuit, extra=3, max_num=40
)

"""Forms of the catalogue: pieces, photos, what was drawn."""

import re
from decimal import Decimal

from django import forms

from collection.catalogue import queries
from collection.catalogue.models import Circuit, Design, Maker, Photo, Piece
from collection.catalogue.photo_field import PhotoField
from collection.core.partial_date import PartialDate, PartialDateError
from collection.core.wording import MINOR_DIGITS
from collection.ledger.codes import well_formed
from registry.access.models import Collection

__all__ = ["CircuitForm", "DesignForm", "MakerForm", "PhotoField", "PhotoForm", "PieceForm",
           "PositionFormSet"]  # fmt: skip

GROUPS = {
    "What it is": ("code", "kind", "family", "maker", "design", "circuit", "name", "nickname"),
    "Papers": ("year", "serial", "hidden_mark", "marks", "finish", "made_in", "materials"),
    "To plug it in": ("mains_volts", "mains_hz", "load_ohms", "connectors"),
    "To carry and to play it": ("mass_kg", "size", "tuning", "handed", "goes_with", "usual_place",
                                "twin"),
    "Kept to who records": ("value", "value_currency", "notes"),
}  # fmt: skip
WHOLE_LETTERS = re.compile(r"[A-Z][A-Z0-9]{0,7}\Z")


class PieceForm(forms.ModelForm):
    """Everything a piece's papers say; the year as people say it."""

    code = forms.CharField(
        required=False,
        max_length=40,
        help_text="For ever, never the case's. Empty: the next of its letter.",
    )
    maker = forms.CharField(
        required=False,
        max_length=80,
        help_text="A maker that is not in the register yet is added.",
        widget=forms.TextInput(attrs={"list": "makers", "autocomplete": "off"}),
    )
    marks = forms.CharField(
        required=False,
        label="Marks it is known by",
        help_text="One a line: scars, filled holes, grain, repairs.",
        widget=forms.Textarea(attrs={"rows": 3}),
    )
    mass_kg = forms.DecimalField(
        required=False, min_value=0, max_value=9999, decimal_places=3, label="Mass in kg"
    )
    twin = forms.CharField(
        required=False, max_length=40, help_text="The code of the piece that is set up alike."
    )
    value = forms.DecimalField(required=False, min_value=0, max_digits=12, decimal_places=3)

    class Meta:
        model = Piece
        fields = [
            "code", "kind", "family", "maker", "design", "circuit", "name", "nickname", "year",
            "serial", "hidden_mark", "marks", "finish", "made_in", "materials", "mains_volts",
            "mains_hz", "load_ohms", "connectors", "mass_kg", "size", "tuning", "handed",
            "goes_with", "usual_place", "twin", "value", "value_currency", "notes",
        ]  # fmt: skip
        help_texts = {
            "family": "Finely: lap steel, head, combo, tape echo, ribbon.",
            "year": "As you know it: 1965, about 1961, 1958 to 1960, the 1960s, before 1970.",
            "serial": "As marked; ? for each character that cannot be read.",
            "hidden_mark": "Never on a notice, and the book says only that there is one.",
            "made_in": "Two letters: GB, NO.",
            "mains_hz": "50, 60 or 50/60.",
            "materials": "With scientific names; permits ask for them.",
        }
        widgets = {"notes": forms.Textarea(attrs={"rows": 3})}

    def __init__(self, *args, collection: Collection, **kwargs) -> None:
        piece = kwargs.get("instance")
        kwargs["initial"] = _as_said(piece, collection) | (kwargs.get("initial") or {})
        super().__init__(*args, **kwargs)
        self.collection = collection
        self.fields["design"].queryset = queries.designs(collection)
        self.fields["design"].label_from_instance = _design_words
        self.fields["circuit"].queryset = queries.circuits(collection)
        self.fields["usual_place"] = forms.ModelChoiceField(
            queries.usual_places(collection),
            required=False,
            to_field_name="code",
            label="Usually in",
            help_text="Its case, mostly.",
        )
        self.fields["usual_place"].label_from_instance = _place_words
        if piece and piece.pk:
            del self.fields["code"]  # a code is never renamed

    def clean_code(self) -> str:
        """A code, or letters alone for the next code that starts with them."""
        code = self.cleaned_data["code"].strip().upper()
        if not code:
            return ""
        if WHOLE_LETTERS.match(code) and not any(one.isdigit() for one in code):
            return queries.next_code_after(self.collection, code)
        if not well_formed(code):
            raise forms.ValidationError("A code looks like A-007: capitals, digits, hyphens.")
        if queries.means_something(self.collection, code):
            raise forms.ValidationError(
                f"{code} already means something here, and a code means one thing for ever. "
                f"Next free: {queries.next_code_after(self.collection, code.split('-')[0])}."
            )
        return code

    def clean_year(self) -> str:
        """The year as EDTF text."""
        said = self.cleaned_data["year"].strip()
        try:
            return PartialDate.read(said).text if said else ""
        except PartialDateError as error:
            raise forms.ValidationError(f"This year cannot be read: {error.reason}.") from error

    def clean_marks(self) -> list[str]:
        """One mark a line."""
        return [line.strip() for line in self.cleaned_data["marks"].splitlines() if line.strip()]

    def clean_made_in(self) -> str:
        """Two letters."""
        said = self.cleaned_data["made_in"].strip().upper()
        if said and not (len(said) == 2 and said.isascii() and said.isalpha()):
            raise forms.ValidationError("Two letters, such as GB.")
        return said

    def clean_value_currency(self) -> str:
        """Three letters; the collection's own when nothing is typed."""
        said = self.cleaned_data["value_currency"].strip().upper() or self.collection.currency
        if not (len(said) == 3 and said.isascii() and said.isalpha()):
            raise forms.ValidationError("Three letters, such as EUR.")
        return said

    def clean_twin(self) -> Piece | None:
        """Another piece of the collection."""
        code = self.cleaned_data["twin"].strip().upper()
        if not code:
            return None
        found = queries.pieces(self.collection).filter(code=code).first()
        if found is None:
            raise forms.ValidationError(f"No piece here is called {code}.")
        if found.pk == self.instance.pk:
            raise forms.ValidationError("A piece is not its own twin.")
        return found

    def clean(self) -> dict:
        """A design belongs to the maker it was drawn by."""
        given = super().clean()
        design, maker = given.get("design"), given.get("maker")
        if design and design.maker and maker and design.maker.name.casefold() != maker.casefold():
            self.add_error("design", f"{design} was drawn by {design.maker}, not by {maker}.")
        return given

    def _post_clean(self) -> None:
        """Leave the instance as it was: the action writes row and entry together."""

    def described(self) -> dict:
        """What was typed, as fields of a piece; the maker is still a name."""
        given = {name: value for name, value in self.cleaned_data.items() if name != "code"}
        mass, value = given.pop("mass_kg"), given.pop("value")
        given["mass_grams"] = None if mass is None else int((mass * 1000).to_integral_value())
        digits = MINOR_DIGITS.get(given["value_currency"], 2)
        given["value_minor"] = None if value is None else int((value * 10**digits).to_integral())
        if given["design"] and not given["maker"] and given["design"].maker:
            given["maker"] = given["design"].maker.name
        return given

    @property
    def groups(self) -> list[tuple[str, list[forms.BoundField]]]:
        """The fields under their headings."""
        return [
            (title, [self[name] for name in names if name in self.fields])
            for title, names in GROUPS.items()
        ]


def _as_said(piece: Piece | None, collection: Collection) -> dict:
    """What the form shows first for fields that are kept differently."""
    if piece is None or not piece.pk:
        return {"value_currency": collection.currency}
    digits = MINOR_DIGITS.get(piece.value_currency, 2)
    return {
        "maker": piece.maker.name if piece.maker else "",
        "marks": "\n".join(piece.marks),
        "mass_kg": Decimal(piece.mass_grams) / 1000 if piece.mass_grams is not None else None,
        "twin": piece.twin.code if piece.twin else "",
        "usual_place": piece.usual_place.code if piece.usual_place else None,
        "value": None if piece.value_minor is None else Decimal(piece.value_minor) / 10**digits,
        "value_currency": piece.value_currency or collection.currency,
    }


def _design_words(design: Design) -> str:
    return f"{design.maker} {design.name}" if design.maker else design.name


def _place_words(subject) -> str:
    return f"{subject.code} {subject.place_row.name}"


class PhotoForm(forms.Form):
    """A photo of a thing: what it shows, and whether that is held back from notices."""

    photo = PhotoField(required=True, label="Photo")
    view = forms.ChoiceField(choices=Photo.View.choices, label="It shows", initial="front")
    caption = forms.CharField(required=False, max_length=120)
    shows_mark = forms.BooleanField(
        required=False, label="It shows the hidden mark: keep it from viewers and notices"
    )


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
        labels = {"close_to": "Declared close: may stand in"}
        widgets = {"close_to": forms.CheckboxSelectMultiple}

    def __init__(self, *args, collection: Collection, **kwargs) -> None:
        super().__init__(*args, **kwargs)
        self.collection = collection
        self.fields["design"].queryset = queries.designs(collection)
        self.fields["design"].label_from_instance = _design_words
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

"""Everything a piece's papers say, as a form."""

import re
import secrets
from dataclasses import dataclass
from decimal import Decimal

from django import forms

from collection.catalogue import queries
from collection.catalogue.forms.drawn import design_words
from collection.catalogue.models import Piece, PieceKind
from collection.core.partial_date import PartialDate, PartialDateError
from collection.core.wording import MINOR_DIGITS
from collection.ledger.codes import well_formed
from collection.ledger.telling import Telling
from registry.access.models import Collection

# What tells one piece from the rest of a truck (a house rule); everything else is folded away.
FIRST = ("kind", "code", "maker", "name", "serial")
GROUPS = {
    "What it is, finely": ("family", "design", "circuit", "nickname", "year"),
    "Marks and materials": ("hidden_mark", "marks", "finish", "made_in", "materials"),
    "To plug it in": ("mains_volts", "mains_hz", "load_ohms", "connectors"),
    "To carry and to play it": ("mass_kg", "size", "tuning", "handed", "goes_with", "usual_place",
                                "twin"),
    "Kept to who records": ("value", "value_currency", "notes"),
}  # fmt: skip
WHOLE_LETTERS = re.compile(r"[A-Z][A-Z0-9]{0,7}\Z")


@dataclass(frozen=True)
class Group:
    """Fields that are folded away under one heading."""

    title: str
    fields: list[forms.BoundField]

    @property
    def wrong(self) -> bool:
        """Whether it must stand open, since something in it is refused."""
        return any(field.errors for field in self.fields)

    @property
    def inside(self) -> str:
        """What it holds, in a line."""
        return ", ".join(str(field.label) for field in self.fields).lower()


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
    once = forms.CharField(required=False, max_length=64, widget=forms.HiddenInput)

    class Meta:
        model = Piece
        fields = [
            "code", "kind", "family", "maker", "design", "circuit", "name", "nickname", "year",
            "serial", "hidden_mark", "marks", "finish", "made_in", "materials", "mains_volts",
            "mains_hz", "load_ohms", "connectors", "mass_kg", "size", "tuning", "handed",
            "goes_with", "usual_place", "twin", "value", "value_currency", "notes",
        ]  # fmt: skip
        labels = {
            "mains_volts": "Mains, volts",
            "mains_hz": "Mains, hertz",
            "load_ohms": "Load, ohms",
            "value_currency": "Currency of the value",
        }
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
        self.fields["design"].label_from_instance = design_words
        self.fields["design"].empty_label = "none, or not known"
        self.fields["kind"].choices = [("", "choose a kind"), *PieceKind.choices]
        self.fields["circuit"].queryset = queries.circuits(collection)
        self.fields["circuit"].empty_label = "none, or not known"
        self.fields["usual_place"] = forms.ModelChoiceField(
            queries.usual_places(collection),
            required=False,
            to_field_name="code",
            label="Usually in",
            help_text="Its case, mostly.",
            empty_label="no place of its own",
        )
        self.fields["usual_place"].label_from_instance = _place_words
        if piece and piece.pk:
            del self.fields["code"]  # a code is never renamed
        self.fields["once"].initial = secrets.token_hex(16)

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
        given = dict(self.cleaned_data)
        given.pop("code", None)
        given.pop("once")
        mass, value = given.pop("mass_kg"), given.pop("value")
        given["mass_grams"] = None if mass is None else int((mass * 1000).to_integral_value())
        digits = MINOR_DIGITS.get(given["value_currency"], 2)
        given["value_minor"] = None if value is None else int((value * 10**digits).to_integral())
        if given["design"] and not given["maker"] and given["design"].maker:
            given["maker"] = given["design"].maker.name
        return given

    def telling(self) -> Telling:
        """Told now; sent twice by a double tap, written once."""
        return Telling(once=self.cleaned_data["once"] or None)

    def first_fields(self) -> list[forms.BoundField]:
        """What is asked before everything else."""
        return [self[name] for name in FIRST if name in self.fields]

    def groups(self) -> list[Group]:
        """The rest under its headings."""
        return [Group(title, [self[name] for name in names]) for title, names in GROUPS.items()]


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


def _place_words(subject) -> str:
    return f"{subject.code} {subject.place_row.name}"

"""What is printed on which sheet, and the contact on tags."""

from decimal import Decimal
from typing import Any

from django import forms

from collection.catalogue.models import Piece
from collection.catalogue.queries import pieces
from collection.core.label_sheet import LabelSheet
from collection.core.notice import leak
from collection.core.qr_code import QrCode, qr_code
from collection.core.stocktake import read_codes
from collection.custody.models import Place
from collection.custody.whereabouts import Whereabouts
from collection.papers.labels import contents
from collection.papers.labels.contents import Label
from registry.access.models import Collection

KINDS = {
    "piece": "labels for pieces",
    "tag": "swing tags: with whom a finder rings",
    "case": "labels for cases: contents, mass, who lifts",
}
SHEETS = {"piece": (3, 8), "tag": (2, 5), "case": (2, 4)}  # columns, rows where none are chosen
PAPER_WORDS = {"a4": "A4", "a5": "A5", "a6": "A6", "us-letter": "letter, 8½ × 11 in"}
MOST = 400
PAD_MM = Decimal(3)


def _mm(label: str) -> forms.DecimalField:
    return forms.DecimalField(
        required=False, min_value=0, max_value=100, decimal_places=1, max_digits=4, label=label
    )


class LabelsForm(forms.Form):
    """Chosen pieces or a whole place, and the sheet of labels as it lies in the printer."""

    kind = forms.ChoiceField(
        choices=KINDS.items(), initial="piece", widget=forms.RadioSelect, label="What is printed"
    )
    codes = forms.CharField(
        required=False, max_length=8000, label="Codes", widget=forms.Textarea(attrs={"rows": 2}),
        help_text="As they come: a7, A 012, case 7.",
    )  # fmt: skip
    place = forms.ChoiceField(required=False, label="Or everything in a place")
    words = forms.CharField(required=False, max_length=60, label="Your own words on each")
    paper = forms.ChoiceField(choices=PAPER_WORDS.items(), initial="a4", label="Paper")
    columns = forms.IntegerField(required=False, min_value=1, max_value=8, label="Columns")
    rows = forms.IntegerField(required=False, min_value=1, max_value=20, label="Rows")
    start = forms.IntegerField(
        required=False, min_value=1, initial=1, label="First free label",
        help_text="On a sheet that is partly used, counted row by row.",
    )  # fmt: skip
    margin_x_mm = _mm("Margin left and right, mm")
    margin_y_mm = _mm("Margin above and below, mm")
    gap_x_mm = _mm("Gap between columns, mm")
    gap_y_mm = _mm("Gap between rows, mm")

    sheet_fields = ("paper", "columns", "rows", "start", "margin_x_mm", "margin_y_mm",
                    "gap_x_mm", "gap_y_mm")  # fmt: skip

    def __init__(
        self, *args: Any, collection: Collection, known: Whereabouts, absolute: Any, **kw: Any
    ) -> None:
        super().__init__(*args, **kw)
        self.collection, self.known, self.absolute = collection, known, absolute
        shown = [(p.code, f"{known.words(p.pk)} ({p.code})") for p in known.shown()]
        self.fields["place"].choices = [("", "no place"), *shown]
        self.sheet = LabelSheet()
        self.labels: list[Label] = []

    def what_fields(self) -> list[forms.BoundField]:
        """What is printed."""
        return [field for field in self.visible_fields() if field.name not in self.sheet_fields]

    def on_sheet(self) -> list[forms.BoundField]:
        """On which sheet."""
        return [self[name] for name in self.sheet_fields]

    def clean(self) -> dict[str, Any]:
        """The labels, the sheet, and whether a telephone can read what fits on it."""
        given = self.cleaned_data
        if self.errors:
            return given
        self.labels = self._chosen(given)
        if len(self.labels) > MOST:
            self.add_error("place", f"{len(self.labels)} labels; at most {MOST} at a time.")
        if not self.labels and not self.errors:
            self.add_error("codes", "Nothing chosen: type codes, or choose a place.")
        self._lay_out(given)
        return given

    def _chosen(self, given: dict[str, Any]) -> list[Label]:
        made = {"collection": self.collection, "absolute": self.absolute}
        if given["kind"] == "case":
            return contents.case_labels(self._cases(given), **made)
        return contents.piece_labels(self._pieces(given), **made)

    def _pieces(self, given: dict[str, Any]) -> list[Piece]:
        rows = {p.code: p for p in pieces(self.collection).order_by("code")}
        found = [rows[code] for code in self._read(given["codes"], set(rows))]
        place = self.known.by_code.get(given["place"])
        more = contents.pieces_at(place) if place else []
        return [*found, *(piece for piece in more if piece not in found)]

    def _cases(self, given: dict[str, Any]) -> list[Place]:
        shown = {p.code: p for p in self.known.shown() if p.kind == Place.Kind.CASE}
        found = [shown[code] for code in self._read(given["codes"], set(shown))]
        place = self.known.by_code.get(given["place"])
        more = contents.cases_at(place) if place else []
        return [*found, *(case for case in more if case not in found)]

    def _read(self, typed: str, known: set[str]) -> tuple[str, ...]:
        read = read_codes(typed, known)
        for said in read.unknown:
            what = "case" if self.cleaned_data["kind"] == "case" else "piece"
            self.add_error("codes", f"{said} is no {what} of this collection.")
        return read.codes

    def _lay_out(self, given: dict[str, Any]) -> None:
        columns, rows = SHEETS[given["kind"]]
        lengths = {name: given[name] or Decimal(0) for name in self.sheet_fields if "mm" in name}
        try:
            self.sheet = LabelSheet(
                given["paper"], given["columns"] or columns, given["rows"] or rows, **lengths
            )
            self.spots = self.sheet.spots(len(self.labels), start=given["start"] or 1)
        except ValueError as wrong:
            field = "start" if "labels 1 to" in str(wrong) else "rows"
            self.add_error(field, str(wrong))
            return
        self._refuse_too_small()

    def _refuse_too_small(self) -> None:
        needed = max((code.narrowest_mm() for code in self.qr_codes()), default=Decimal(0))
        if needed > self.qr_mm:
            self.add_error(
                "rows",
                f"A QR code of these addresses needs {needed:.1f} mm to be read; such a label "
                f"leaves {self.qr_mm:.1f} mm. Choose fewer rows or columns.",
            )

    def qr_codes(self) -> list[QrCode]:
        """The QR codes of the labels, in their order."""
        return [qr_code(label.address) for label in self.labels]

    @property
    def qr_mm(self) -> Decimal:
        """The side left for a QR code with its quiet zone: the height, or half the width."""
        return min(self.sheet.height_mm - 2 * PAD_MM, self.sheet.width_mm / 2 - PAD_MM, Decimal(50))


class ContactForm(forms.Form):
    """Whom a finder rings: a role and a telephone or mail, never a name."""

    contact = forms.CharField(
        required=False, max_length=120, label="If found",
        help_text="Such as: the gear desk, +44 1632 960142. It stands on swing tags, and where "
        "somebody who is not signed in opens a label. Never a name.",
    )  # fmt: skip

    def __init__(self, *args: Any, collection: Collection, **kwargs: Any) -> None:
        super().__init__(*args, initial={"contact": collection.finder_contact}, **kwargs)
        self.collection = collection

    def clean_contact(self) -> str:
        """The words, unless they name somebody."""
        said = self.cleaned_data["contact"].strip()
        if leak(said, contents.names_of(self.collection)):
            raise forms.ValidationError("This names a person; say a role, such as the gear desk.")
        return said

"""Forms of an import: the file, and what each of its columns means."""

from collections import defaultdict
from dataclasses import dataclass

from django import forms

from collection.catalogue.spreadsheet.columns import FIELDS, SEVERAL
from collection.catalogue.spreadsheet.reading import Table
from collection.catalogue.spreadsheet.table import MAX_BYTES

SAMPLES = 3
PASTED = "pasted list"
KEPT = ("", "keep in the notes")
SAID = {
    "kind": "kind: what it is",
    "design": "model or design",
    "year": "year built",
    "serial": "serial number",
    "place": "where it is",
    "holder": "who has it",
    "works": "whether it works",
    "checked": "when last checked",
    "count": "how many",
}


class StartForm(forms.Form):
    """A file, or the same pasted."""

    file = forms.FileField(
        required=False,
        label="The spreadsheet",
        help_text=f".csv or .xlsx, at most {MAX_BYTES // 1_000_000} MB. Nothing is written yet.",
    )
    pasted = forms.CharField(
        required=False,
        strip=False,
        label="Or paste its rows, headings first",
        widget=forms.Textarea(attrs={"rows": 4}),
    )

    def clean_file(self):
        """A file of a size that can be read."""
        file = self.cleaned_data["file"]
        if file and file.size > MAX_BYTES:
            raise forms.ValidationError(f"It is larger than {MAX_BYTES // 1_000_000} MB.")
        return file

    def clean(self) -> dict:
        """One of the two."""
        given = super().clean()
        if not self.errors and not given.get("file") and not given.get("pasted", "").strip():
            self.add_error("file", "Choose a file, or paste the rows below.")
        return given

    def sent(self) -> tuple[bytes, str]:
        """The bytes and what they are called."""
        if file := self.cleaned_data["file"]:
            return file.read(), file.name
        return self.cleaned_data["pasted"].encode("utf-8", "replace"), PASTED


@dataclass(frozen=True)
class Column:
    """A column on the page: its heading, cells to know it by, the choice."""

    heading: str
    samples: list[str]
    field: forms.BoundField


class ColumnsForm(forms.Form):
    """Which column is what; a column nobody chose anything for is kept in the notes."""

    def __init__(self, *args, table: Table, mapping: dict[int, str], **kwargs) -> None:
        super().__init__(*args, **kwargs)
        self.table = table
        choices = [KEPT, *((name, SAID.get(name, name)) for name in FIELDS)]
        for index in range(len(table.headings)):
            self.fields[f"column-{index}"] = forms.ChoiceField(
                choices=choices,
                required=False,
                initial=mapping.get(index, ""),
                label=f"{table.label(index)} is",
            )

    def columns(self) -> list[Column]:
        """The columns in the order of the sheet."""
        return [
            Column(
                self.table.label(index),
                list(dict.fromkeys(self.table.column(index)))[:SAMPLES],
                self[f"column-{index}"],
            )
            for index in range(len(self.table.headings))
        ]

    def mapping(self) -> dict[int, str]:
        """Column index to field, without the columns that are kept in the notes."""
        chosen = {index: self.cleaned_data.get(f"column-{index}") for index in self._indexes()}
        return {index: field for index, field in chosen.items() if field}

    def clean(self) -> dict:
        """A field comes from one column, but notes may come from several."""
        given = super().clean()
        columns = defaultdict(list)
        for index, field in self.mapping().items():
            columns[field].append(index)
        for field, indexes in columns.items():
            if field not in SEVERAL and len(indexes) > 1:
                first = self.table.label(indexes[0])
                for index in indexes[1:]:
                    name = SAID.get(field, field)
                    self.add_error(f"column-{index}", f"'{first}' is chosen as '{name}' already.")
        return given

    def _indexes(self) -> range:
        return range(len(self.table.headings))

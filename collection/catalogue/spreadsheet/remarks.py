"""Sentences on how a table was read, for the preview."""

from collection.catalogue.spreadsheet.row_reading import SAYS_WHAT, Layout
from collection.catalogue.spreadsheet.table import Table


def remarks_on(table: Table, layout: Layout) -> list[str]:
    """What a person should know before agreeing, most of all what was assumed."""
    return [
        *table.remarks,
        *(f"Above the headings, not taken: {row.text}" for row in table.preface),
        *_on_columns(layout),
        *_on_units(layout),
        *_on_short_rows(table, layout),
    ]


def _on_columns(layout: Layout) -> list[str]:
    fields = {column.field for column in layout.columns}
    kept = [f"'{column.label}'" for column in layout.columns if not column.field]
    remarks = []
    if not fields.intersection(SAYS_WHAT):
        remarks.append("No column says what a piece is: choose one for the kind, maker or model.")
    if "code" not in fields:
        remarks.append("No column holds codes: every piece is given one.")
    if kept:
        remarks.append(f"Kept in the notes, for they match no field: {', '.join(kept)}.")
    return remarks


def _on_units(layout: Layout) -> list[str]:
    remarks = []
    for column in layout.columns:
        if column.field == "mass" and not column.unit:
            remarks.append(f"'{column.label}' names no unit: bare numbers are read as kilograms.")
        if column.field == "value" and column.currency == "USD" and "$" in column.label:
            remarks.append(f"'{column.label}' is read as United States dollars.")
        if column.field in ("year", "checked") and column.month_first:
            remarks.append(f"Dates in '{column.label}' are read with the month first.")
    return remarks


def _on_short_rows(table: Table, layout: Layout) -> list[str]:
    if not table.is_delimited or layout.short_rows_are_torn:
        return []
    return ["Many rows end early: what they lack is taken as empty."]

"""Reading the stock: everything on the shelf at once, lots, parts, what may be chosen."""

from collection.stock.queries.choices import (
    code_taken,
    grades_for,
    lot_named,
    newest_entry,
    part_named,
    parts_of,
    piece_named,
    pieces_to_fit,
    type_named,
    types_of,
)
from collection.stock.queries.shelf import count_of, part_with_hours, shelf

__all__ = [
    "code_taken",
    "count_of",
    "grades_for",
    "lot_named",
    "newest_entry",
    "part_named",
    "part_with_hours",
    "parts_of",
    "piece_named",
    "pieces_to_fit",
    "shelf",
    "type_named",
    "types_of",
]

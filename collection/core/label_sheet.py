"""Where labels lie on a sheet: rows and columns on paper of a published size.

All lengths in millimetres as decimals, from the upper left corner of the paper.
Source of the sizes: ISO 216:2007 (A4, A5, A6); ASME Y14.1 (letter, 8.5 by 11 inches).
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

Mm = Decimal
PAPERS: dict[str, tuple[Mm, Mm]] = {
    "a4": (Mm(210), Mm(297)),
    "a5": (Mm(148), Mm(210)),
    "a6": (Mm(105), Mm(148)),
    "us-letter": (Mm("215.9"), Mm("279.4")),
}
SMALLEST_MM = Mm(20)  # house rule: on anything smaller nobody reads the code beside the QR code
MOST_ON_A_SHEET = 80
NONE = Mm(0)


@dataclass(frozen=True)
class Spot:
    """The place of one label: sheet from 0, and its upper left corner."""

    sheet: int
    x_mm: Mm
    y_mm: Mm


@dataclass(frozen=True)
class LabelSheet:
    """A sheet with `columns` by `rows` labels inside margins, with gaps between them.

    Raises ValueError, in words for whoever chose it, when nothing useful fits.
    """

    paper: str = "a4"
    columns: int = 3
    rows: int = 8
    margin_x_mm: Mm = NONE
    margin_y_mm: Mm = NONE
    gap_x_mm: Mm = NONE
    gap_y_mm: Mm = NONE

    def __post_init__(self) -> None:
        if self.columns < 1 or self.rows < 1:
            raise ValueError("A sheet has at least one label.")
        if self.each > MOST_ON_A_SHEET:
            raise ValueError(f"More than {MOST_ON_A_SHEET} labels on a sheet cannot be read.")
        if min(self.width_mm, self.height_mm) < SMALLEST_MM:
            raise ValueError(
                f"Each label would be {self.width_mm:.1f} × {self.height_mm:.1f} mm; "
                f"at least {SMALLEST_MM} mm each way are needed."
            )

    @property
    def each(self) -> int:
        """Labels on one sheet."""
        return self.columns * self.rows

    @property
    def width_mm(self) -> Mm:
        """Width of one label."""
        return _share(PAPERS[self.paper][0], self.margin_x_mm, self.gap_x_mm, self.columns)

    @property
    def height_mm(self) -> Mm:
        """Height of one label."""
        return _share(PAPERS[self.paper][1], self.margin_y_mm, self.gap_y_mm, self.rows)

    def spots(self, count: int, *, start: int = 1) -> tuple[Spot, ...]:
        """Where `count` labels lie, row by row; `start`: the first free one of a used sheet.

        >>> [spot.sheet for spot in LabelSheet(columns=2, rows=1).spots(2, start=2)]
        [0, 1]
        """
        if not 1 <= start <= self.each:
            raise ValueError(f"The sheet has labels 1 to {self.each}.")
        return tuple(self._spot(number) for number in range(start - 1, start - 1 + count))

    def _spot(self, number: int) -> Spot:
        sheet, place = divmod(number, self.each)
        row, column = divmod(place, self.columns)
        x = self.margin_x_mm + column * (self.width_mm + self.gap_x_mm)
        y = self.margin_y_mm + row * (self.height_mm + self.gap_y_mm)
        return Spot(sheet, x, y)


def _share(length: Mm, margin: Mm, gap: Mm, count: int) -> Mm:
    return (length - 2 * margin - (count - 1) * gap) / count

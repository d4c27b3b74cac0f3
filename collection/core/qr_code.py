"""QR codes as modules: which squares are dark, and how small they may be printed.

Model: QR code by ISO/IEC 18004, made by the library `segno`. The level of error correction asked
for is raised where that makes the code no larger. Around every code lies a quiet zone of four
modules in which nothing is printed.
Source: ISO/IEC 18004:2006, as shown by Denso Wave, "Point for determining the code area".
"""

from __future__ import annotations

import io
from dataclasses import dataclass
from decimal import Decimal
from functools import lru_cache
from typing import Literal

import segno

Level = Literal["L", "M", "Q", "H"]
QUIET_MODULES = 4
# The narrowest module that a code meant for every camera is printed with.
# Source: GS1 General Specifications, section 5.12.3.1 (QR code at the point of sale: 0.396 to
# 0.990 mm), as quoted by GS1 UK. Ours are read by telephones at arm's length, so the same holds.
NARROWEST_MM = Decimal("0.396")


@dataclass(frozen=True)
class QrCode:
    """One code: its text, rows of dark (True) and light modules, version and level reached."""

    text: str
    rows: tuple[tuple[bool, ...], ...]
    version: int
    level: str

    @property
    def modules(self) -> int:
        """Modules across, without the quiet zone."""
        return len(self.rows)

    @property
    def across(self) -> int:
        """Modules across, with the quiet zone on both sides."""
        return self.modules + 2 * QUIET_MODULES

    @property
    def path(self) -> str:
        """The dark modules as path data of an SVG that is `across` units wide."""
        return "".join(
            f"M{column + QUIET_MODULES} {row + QUIET_MODULES}h{length}v1h-{length}z"
            for row, line in enumerate(self.rows)
            for column, length in _runs(line)
        )

    def png(self, dots: int = 8) -> bytes:
        """The code as a PNG with `dots` a module, quiet zone included."""
        made = segno.make_qr(self.text, error=self.level, version=self.version, boost_error=False)
        drawn = io.BytesIO()
        made.save(drawn, kind="png", scale=dots, border=QUIET_MODULES)
        return drawn.getvalue()

    def narrowest_mm(self) -> Decimal:
        """The least side, quiet zone included, at which a telephone is sure to read it, in mm."""
        return NARROWEST_MM * self.across


@lru_cache(maxsize=2048)  # 5 ms each, and a sheet is often printed twice
def qr_code(text: str, *, level: Level = "M") -> QrCode:
    """The smallest code that holds a text.

    Args:
        text: 1 to some 2,000 characters, such as an address.
        level: least error correction: L 7 %, M 15 %, Q 25 %, H 30 % of the code.

    Raises:
        ValueError: the text is empty or does not fit.

    >>> qr_code("A-007").version
    1
    """
    if not text:
        raise ValueError("a QR code needs a text")
    made = segno.make_qr(text, error=level)
    rows = tuple(tuple(bool(module) for module in row) for row in made.matrix)
    return QrCode(text, rows, int(made.version), str(made.error))


def _runs(line: tuple[bool, ...]) -> list[tuple[int, int]]:
    """(first column, length) of every run of dark modules."""
    found: list[tuple[int, int]] = []
    for column, dark in enumerate(line):
        if dark and found and sum(found[-1]) == column:
            found[-1] = (found[-1][0], found[-1][1] + 1)
        elif dark:
            found.append((column, 1))
    return found

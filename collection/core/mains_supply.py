"""What a wall socket gives, country by country, and whether a piece can take it.

The nominal voltage and frequency of the public low-voltage supply. Countries whose source is
'from memory' are to be checked by whoever goes there; a collection may write its own figures
over any of them. A touring stage often brings its own power: ask the venue.
Limits: nominal figures only; a hall on a generator or an old 220 V installation differs.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from collection.core.transit_rules import Rules

MAINS_AS_OF = date(2026, 11, 1)
_EUROPE = "EN 50160: 230 V and 50 Hz nominal"
_MEMORY = "from memory"


@dataclass(frozen=True, slots=True, kw_only=True)
class Supply:
    """Volts and hertz of a country; `hertz` None where it differs within the country."""

    country: str
    volts: int
    hertz: int | None
    source: str
    as_of: date = MAINS_AS_OF


@dataclass(frozen=True, slots=True, kw_only=True)
class Fed:
    """A piece that takes mains: volts it is set for, the only hertz it runs right on, or None."""

    code: str
    volts: float | None
    hertz: float | None


_IN_EUROPE = (
    "AT BE BG CH CY CZ DE DK EE ES FI FR GB GR HR HU IE IS IT LT LU LV MT NL NO PL PT RO SE SI SK"
).split()
_ELSEWHERE = (
    ("AR", 220, 50, _MEMORY),
    ("AU", 230, 50, "AS 60038: 230 V; frequency from memory"),
    ("BR", 127, 60, "from memory; 220 V in some states, so ask"),
    ("CA", 120, 60, "CSA C235: 120 V; frequency from memory"),
    ("CN", 220, 50, _MEMORY),
    ("IN", 230, 50, _MEMORY),
    ("JP", 100, None, "from memory; 50 Hz in the east, 60 Hz in the west, so ask"),
    ("KR", 220, 60, _MEMORY),
    ("MX", 127, 60, _MEMORY),
    ("NZ", 230, 50, _MEMORY),
    ("TW", 110, 60, _MEMORY),
    ("US", 120, 60, "ANSI C84.1: 120 V; frequency from memory"),
    ("ZA", 230, 50, _MEMORY),
)
SUPPLIES: dict[str, Supply] = {
    country: Supply(country=country, volts=volts, hertz=hertz, source=source)
    for country, volts, hertz, source in (
        *((country, 230, 50, _EUROPE) for country in _IN_EUROPE),
        *_ELSEWHERE,
    )
}


def misfits(
    pieces: Sequence[Fed], *, volts: float | None, hertz: float | None, rules: Rules
) -> tuple[tuple[str, str], ...]:
    """What cannot run on a supply, as (code, sentence); what is not known passes.

    Volts within the tolerance of `rules`; hertz exactly, since a synchronous motor turns as
    fast as the mains says: 60 Hz on a 50 Hz motor is a fifth faster.
    """
    found: list[tuple[str, str]] = []
    for piece in pieces:
        if volts is not None and piece.volts is not None and not _takes(piece.volts, volts, rules):
            said = (
                f"Set for {piece.volts:g} V; the supply is {volts:g} V: a transformer of its size."
            )
            found.append((piece.code, said))
        if hertz is not None and piece.hertz is not None and piece.hertz != hertz:
            drift = 100 * (hertz / piece.hertz - 1)
            said = (
                f"Made for {piece.hertz:g} Hz; on {hertz:g} Hz a synchronous motor runs "
                f"{abs(drift):.0f} % {'fast' if drift > 0 else 'slow'}; no transformer mends that."
            )
            found.append((piece.code, said))
    return tuple(found)


def _takes(set_for: float, volts: float, rules: Rules) -> bool:
    return (1 - rules.volts_below) * set_for <= volts <= (1 + rules.volts_above) * set_for

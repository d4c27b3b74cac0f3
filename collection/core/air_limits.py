"""What airlines take, as information for a fly date; the carrier's own terms decide.

Each line says what it rests on. Nothing here is advice: ring the carrier, in writing where
a piece cannot be replaced.
"""

import re
from dataclasses import dataclass
from datetime import date

AIR_AS_OF = date(2026, 11, 1)
POUND_GRAMS = 453.59237  # exact, International Yard and Pound Agreement 1959
CHECKED_GRAMS_US = 165 * POUND_GRAMS
CHECKED_SUM_CM_US = 150 * 2.54
ONE_BAG_GRAMS = 32_000
_THREE_LENGTHS = re.compile(
    r"(\d+(?:[.,]\d+)?)\s*[×x]\s*(\d+(?:[.,]\d+)?)\s*[×x]\s*(\d+(?:[.,]\d+)?)"
)

# The kinds a player takes along; amplifiers and cabinets come from the host of a fly date.
# Source: common practice (riders name up to three amplifiers so that one can be found).
FLIES = ("instrument", "microphone", "effect")
SUBSTITUTES_NAMED = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class AirLimit:
    """One limit: what it is about, what it says, and what that rests on."""

    what: str
    says: str
    source: str


LIMITS = (
    AirLimit(
        what="An instrument in the cabin",
        says="Carriers of the United States take it if it fits when you board: board early.",
        source="14 CFR 251.3",
    ),
    AirLimit(
        what="An instrument as checked baggage",
        says="Up to 165 lb (74.8 kg) and 150 in (381 cm) length, width and height together.",
        source="14 CFR 251.5, carriers of the United States; others set their own",
    ),
    AirLimit(
        what="One bag",
        says="Most carriers stop at 32 kg a bag; over that it is freight.",
        source="common practice, no source",
    ),
    AirLimit(
        what="Spare lithium cells",
        says="In the cabin only; up to 100 Wh freely, 100 to 160 Wh if the carrier agrees.",
        source="from memory",
    ),
    AirLimit(
        what="Counter closes",
        says="About 45 minutes before a domestic, 60 before an international departure.",
        source="common practice, no source",
    ),
)


def flies(kind: str) -> bool:
    """Whether a piece of this kind travels with the player on a fly date."""
    return kind in FLIES


def over_limits(mass_grams: int | None, size: str) -> tuple[str, ...]:
    """What in mass (grams) and size (three lengths in cm, as written) is over a limit.

    Mass or size not on record is said, not passed over in silence.
    """
    found = [_mass(mass_grams)]
    lengths = _THREE_LENGTHS.search(size)
    if lengths is not None:
        total = sum(float(one.replace(",", ".")) for one in lengths.groups())
        if total > CHECKED_SUM_CM_US:
            found.append(f"{total:g} cm in all: over 381 cm (14 CFR 251.5).")
    else:
        found.append("Its size is not on record.")
    return tuple(said for said in found if said)


def _mass(grams: int | None) -> str:
    if grams is None:
        return "Its weight is not on record."
    if grams > CHECKED_GRAMS_US:
        return f"{grams / 1000:g} kg: over 165 lb (14 CFR 251.5)."
    if grams > ONE_BAG_GRAMS:
        return f"{grams / 1000:g} kg: over 32 kg, so freight with most carriers."
    return ""

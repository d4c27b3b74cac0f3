"""What is said before somebody lifts, ships, or stands in front of an empty case.

In our own words. Local rules and licensed practice go before all of it.
"""

from __future__ import annotations

from dataclasses import dataclass

from collection.core.border import FOR_REPAIR

# Load constant of the lifting equation, the most one person lifts under ideal conditions.
# Source: Waters, Putz-Anderson, Garg, Fine: "Revised NIOSH equation for the design and
# evaluation of manual lifting tasks", Ergonomics 36 (1993), 749-776.
ONE_PERSON_GRAMS = 23_000


@dataclass(frozen=True)
class Caution:
    """A heading that stands alone, and the sentence under it."""

    title: str
    words: str


THEFT = Caution(
    "Police first. Confront nobody, follow nobody, buy nothing back.",
    "People before gear: see that everybody is safe, keep out of a room in which somebody "
    "may still be, and ring. Whoever offers a piece for money goes to the officer, not to you.",
)
AIR = Caution(
    "By air: lithium cells and solvents are dangerous goods.",
    "Take loose cells, contact cleaner, spirit and spray out of the case, or declare them; ask "
    "the carrier what it takes and in which packing before the cut-off.",
)
COLD = Caution(
    "Out of a cold hold: leave it shut and unpowered until it is warm and dry.",
    "Water settles on cold metal, transformers and paper as soon as warm air reaches them. "
    "Let it warm in its closed case, look inside, then power it slowly.",
)
REPAIR_ABROAD = Caution(
    "Across a customs border, repair is another procedure than a carnet.", FOR_REPAIR
)
QUARANTINE = Caution(
    "Do not power what has just come back.",
    "Nobody knows what was done to it: wires cut, parts swapped, liquid, a tracker with a "
    "lithium cell. Photograph it as it is and leave it apart until every gate is passed.",
)


def lifting(grams: int, *, weighed: bool = True) -> Caution | None:
    """A caution for a load in grams that is too much for one person, else None.

    `weighed` is False when something in the load has no weight in the register.
    """
    if grams < ONE_PERSON_GRAMS:
        return None
    least = "" if weighed else "at least "
    return Caution(
        f"{least}{grams / 1000:.0f} kg: more than one person lifts.".capitalize(),
        "Two people or a lift; ramp and strap before hands. Feet clear of castors, no fingers "
        "under the lip.",
    )

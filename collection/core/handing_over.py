"""What speaks against letting a piece go for good; house rules, no legal advice."""

from __future__ import annotations

import re
from collections.abc import Sequence
from datetime import tzinfo
from typing import Final, Literal

from collection.core.chronology import unclear_rivals
from collection.core.entry import Placed
from collection.core.state import State

Way = Literal["sold", "back"]
TITLES: Final = frozenset({"acquired", "title_changed", "sold"})
OF_TITLE: Final = re.compile(r"\b(owns?|owned|owners?|ownership|titles?)\b", re.IGNORECASE)
STANDINGS: Final = {
    "stolen": "The book says it is stolen.",
    "not_found": "It is not found: nobody knows where it is.",
    "quarantined": "It is in quarantine: gates of its recovery are still open.",
    "sold": "The book says it was sold already.",
    "disposed": "The book says it left already.",
    "given_back": "The book says it was given back already.",
}


def refusals(state: State, *, holder: str, disputes: Sequence[str]) -> tuple[str, ...]:
    """Why a piece may not be handed over for good, in whole sentences; () where nothing is.

    `holder`: what outsiders or members call who has it, '' for nobody; `disputes`: from `disputes`.
    """
    found = [STANDINGS[state.standing]] if state.standing in STANDINGS else []
    if state.holder and not found:
        found.append(f"{holder or 'Somebody else'} has it: it must be back, or given back, first.")
    return (*found, *(f"Its title is disputed: {why}" for why in disputes))


def disputes(titles: Sequence[Placed], questions: Sequence[str], zone: tzinfo) -> tuple[str, ...]:
    """What is in doubt about whose it is.

    `titles`: effective entries of the kinds in TITLES in order of happening; `questions`: open
    Questions about the piece, of which those count that speak of owning or title.
    """
    found = [text for text in questions if OF_TITLE.search(text)]
    if titles:
        winner = titles[-1]
        if winner.entry.certainty == "doubtful":
            found.append("the last entry on who owns it is doubtful.")
        if unclear_rivals(titles, winner, zone):
            found.append("two entries say otherwise, and which came later is not known.")
    return tuple(found)


def back_to(owner: str | None, to: str) -> str:
    """Why a return to its owner is refused, '' where it is not; both are codes."""
    if not owner:
        return "The book does not say who owns it: write that down first."
    return "" if owner == to else "The book says that somebody else owns it."

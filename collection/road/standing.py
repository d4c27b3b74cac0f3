"""Why a piece may not go on a rig plan: what the book says of it at the moment."""

from collections.abc import Iterable

from collection.catalogue.models import Piece
from collection.ledger.models import State

_STANDING = {
    "stolen": "is reported stolen",
    "not_found": "is not found",
    "quarantined": "is in quarantine",
    "sold": "is sold",
    "disposed": "is disposed of",
    "stripped": "is stripped for parts",
    "given_back": "went back to its owner",
}
# The same standing in the words that `core.backup` knows.
BARRED = {
    "stolen": "stolen",
    "not_found": "not found",
    "quarantined": "quarantined",
    "sold": "it is sold",
    "disposed": "it is disposed of",
    "stripped": "stripped",
    "given_back": "it went back to its owner",
}


def reasons_against(pieces: Iterable[Piece]) -> tuple[str, ...]:
    """Whole sentences, one for each thing that speaks against each piece; one query."""
    codes = {piece.pk: piece.code for piece in pieces}
    states = State.objects.filter(subject__in=codes).order_by("subject__code")
    return tuple(
        f"{codes[state.subject_id]} {what}." for state in states for what in _against(state)
    )


def _against(state: State) -> list[str]:
    found = [_STANDING[state.standing]] if state.standing in _STANDING else []
    if tag := state.detail.get("tag"):
        hung = "is proposed to carry" if tag.get("proposed") else "carries"
        found.append(f"{hung} DO NOT POWER ({tag['reason']})")
    return found

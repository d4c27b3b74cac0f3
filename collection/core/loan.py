"""How far a loan or hire has come: how many of its pieces are away, in whose hands."""

from __future__ import annotations

from collection.core.state import State

AWAY = "away"  # bucket of a loan's state: pieces that have not come back
CAME_ALONG, MISSING = "came", "missing"
OUT, OVER = "out", "over"


def one_out(state: State) -> State:
    """The loan after one more piece was handed over."""
    return state.shifted({AWAY: 1}).now(condition=OUT)


def one_back(state: State) -> State:
    """The loan after one piece was given back; over with the last one."""
    left = max(state.count(AWAY) - 1, 0)
    state = state.shifted({AWAY: left - state.count(AWAY)})
    return state.now(condition=OUT if left else OVER)


def not_back(pairs: tuple[tuple[str, str], ...]) -> list[str]:
    """What went with a piece and did not come back, as it was called."""
    return [what for what, answer in pairs if answer == MISSING]


def counted(pairs: tuple[tuple[str, str], ...]) -> str:
    """What went with a piece, counted, as the tail of a sentence; '' when nothing did."""
    said = ", ".join(
        f"{what} {'is back' if a == CAME_ALONG else 'is missing'}" for what, a in pairs
    )
    return f"; {said}" if said else ""

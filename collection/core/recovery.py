"""Recovery: the gates between a piece that turned up and a piece that may be used.

House rule: something stolen passes five gates; something only mislaid passes identity and
condition. Each is answered by a keeper, or marked 'does not apply' with a reason.
"""

from __future__ import annotations

from collection.core.state import State

GATES: dict[str, str] = {
    "police": "police release and chain of custody",
    "insurer": "insurer's answer on title if a claim was paid",
    "identity": "identity on two kinds of evidence beside the serial",
    "condition": "condition, parts stripped or swapped, hidden trackers",
    "notices": "notices and entries withdrawn",
}
# What has to stand in the book before the gate can be answered: an entry of this kind.
RESTS_ON = {"police": "released", "insurer": "title_settled"}
MISLAID_GATES = ("identity", "condition")
ANSWERS = ("answered", "not-apply")
EVIDENCE_NEEDED = 2


def required(mislaid: bool) -> tuple[str, ...]:
    """Names of the gates to pass, in the order they are shown."""
    return MISLAID_GATES if mislaid else tuple(GATES)


def is_mislaid(state: State) -> bool:
    """Whether a quarantined thing was only mislaid: no incident hangs on it."""
    return state.incident is None


def missing(state: State) -> tuple[str, ...]:
    """Gates still unanswered; () for something that is not in quarantine."""
    if state.standing != "quarantined":
        return ()
    passed = {gate.name for gate in state.gates}
    return tuple(name for name in required(is_mislaid(state)) if name not in passed)


def unsupported(gate: str, outcome: str | None) -> str:
    """Why a gate cannot be answered yet by what stands behind it; '' when it can.

    `outcome` is None where no entry of `RESTS_ON` is there, else what it says of title. A piece for
    which the insurer paid is not ours until somebody has written down the insurer's answer.

    >>> unsupported("condition", None)
    ''
    """
    if gate not in RESTS_ON:
        return ""
    if outcome is None and gate == "police":
        return "Write down the release first: who gave it back, to whom, under which number."
    if outcome is None:
        return "Write down the insurer's answer first: whose it is, and whether a claim was paid."
    if gate == "insurer" and outcome != "ours":
        return "The insurer has not said that it is ours; until then it stays apart."
    return ""


def beside_the_serial(evidence: tuple[str, ...]) -> tuple[str, ...]:
    """Different kinds of evidence other than the serial number, in the order given.

    >>> beside_the_serial(("serial", "filled screw hole", "Filled screw hole ", "grain"))
    ('filled screw hole', 'grain')
    """
    kinds = dict.fromkeys(" ".join(item.casefold().split()) for item in evidence)
    return tuple(kind for kind in kinds if kind and not kind.startswith("serial"))

"""What can be recorded for a piece, in the groups and the order of the record page."""

from dataclasses import dataclass

from collection.catalogue.models import Piece
from collection.core.state import State


@dataclass(frozen=True)
class Act:
    """One press: an address by name with its kind and what it fills in, and the words on it."""

    words: str
    kind: str = ""
    query: str = ""
    address: str = "bench:record_kind"
    grave: bool = False


@dataclass(frozen=True)
class ActGroup:
    """A row of presses under a heading."""

    heading: str
    acts: tuple[Act, ...]


CHECKS = ActGroup(
    "Checked",
    (
        Act("Powered", "inspected", "?level=powered"),
        Act("Played hot", "inspected", "?level=played-hot"),
        Act("Bench-checked", "inspected", "?level=bench-checked"),
        Act("It does not work", "inspected", "?level=powered&result=does-not"),
        Act("Safety test", "safety_tested"),
        Act("Bias read", address="bench:measure"),
    ),
)
WHERE = ActGroup(
    "Where it is",
    (
        Act("Moved", address="custody:move"),
        Act("It is here", address="custody:sight"),
        Act("Not found", address="custody:not_found"),
    ),
)
WORK = ActGroup(
    "Worked on",
    (
        Act("Repaired", "repaired"),
        Act("Modified", "modified"),
        Act("Serviced", "serviced"),
        Act("Settings and set-up", address="bench:sheets"),
        Act("Original or not", address="bench:originality"),
    ),
)


def acts_for(piece: Piece, state: State) -> tuple[ActGroup, ...]:
    """The groups of presses for a piece as it stands now."""
    trouble = [Act("It misbehaves", "faulted")]
    if state.faults:
        trouble.append(Act("Settle a fault", "fault_settled"))
    trouble.append(Act("Tag out: do not power", "tagged_out", grave=True))
    if state.tag:
        trouble.append(Act("Take the tag off", "tag_lifted"))
    return (ActGroup("Trouble", tuple(trouble)), WORK, CHECKS, WHERE)

"""Which parts of a piece are looked at when somebody asks what is original on it.

House lists after common practice, no source: the parts that bear dates or are changed first. A
survey may name any other part. The chart of a piece's circuit adds its own positions.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence

_ELECTRIC = ("pickups", "volume pot", "tone pot", "switch", "jack")
_LISTS: Mapping[str, tuple[str, ...]] = {
    "hollow-body guitar": (
        "body", "neck", "lacquer", *_ELECTRIC, "tuners", "nut", "frets", "bridge", "tailpiece",
        "pickguard", "label", "case",
    ),
    "lap steel": ("body", "lacquer", "fret board", *_ELECTRIC, "tuners", "nut", "bridge", "legs",
                  "case"),
    "reed organ": ("case", "reeds", "bellows", "blower motor", "stops", "keys", "label"),
    "tape echo": ("motor", "heads", "mains transformer", "pots", "capacitors", "panel", "case"),
    "instrument": ("body", "neck", "lacquer", *_ELECTRIC, "tuners", "bridge", "case"),
    "combo amplifier": (
        "cabinet", "chassis", "mains transformer", "output transformer", "loudspeaker",
        "volume pot", "tone pot", "filter capacitors", "coupling capacitors", "circuit label",
        "handle", "covering",
    ),
    "amplifier": (
        "cabinet", "chassis", "mains transformer", "output transformer", "choke", "volume pot",
        "tone pot", "filter capacitors", "coupling capacitors", "circuit label", "handle",
        "covering",
    ),
    "cabinet": ("cabinet", "loudspeaker", "cloth", "covering", "jack", "handle"),
    "microphone": ("body", "ribbon", "capsule", "transformer", "connector", "case"),
    "effect": ("panel", "pots", "mains transformer", "capacitors", "case"),
}  # fmt: skip
_WEARS_OUT: Mapping[str, re.Pattern[str]] = {
    "tube": re.compile(r"^v\d+\b|\btubes?\b|\bvalves?\b|^rectifier\b", re.IGNORECASE),
    "string": re.compile(r"\bstrings?\b", re.IGNORECASE),
    "lamp": re.compile(r"\blamps?\b|\bbulbs?\b", re.IGNORECASE),
    "fuse": re.compile(r"\bfuses?\b", re.IGNORECASE),
}


def parts_of(kind: str, family: str) -> tuple[str, ...]:
    """The parts to look at for a piece, in the order of looking; () where nobody made a list.

    >>> parts_of("cabinet", "")[:2]
    ('cabinet', 'loudspeaker')
    """
    return _LISTS.get(family) or _LISTS.get(family.partition(" ")[0]) or _LISTS.get(kind, ())


def kind_of_part(position: str) -> str:
    """The kind of part at a position, in the singular where it is one that never counts.

    >>> kind_of_part("V4"), kind_of_part("volume pot"), kind_of_part("string gauge set")
    ('tube', 'pot', 'string')
    """
    for kind, pattern in _WEARS_OUT.items():
        if pattern.search(position.strip()):
            return kind
    return position.split()[-1].casefold() if position.split() else ""


def in_order(positions: Sequence[str], said: Sequence[str]) -> tuple[str, ...]:
    """The listed positions first, then what statements name beside them, each once."""
    return tuple(dict.fromkeys((*positions, *said)))

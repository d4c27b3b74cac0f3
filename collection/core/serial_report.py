"""A number as somebody reports it, and how it differs from one of ours, character by character."""

from __future__ import annotations

import re
from dataclasses import dataclass

from collection.core.serial import UNREADABLE, SerialMatch, cleaned

SHORTEST = 3  # a shorter text is near to everything
_SPOKEN = re.compile(r"[^\W\d_]{3,}")
_QUOTES = re.compile(r"['\"\u2018\u2019\u201c\u201d.,;:!()]+")


@dataclass(frozen=True)
class Character:
    """One character of the reported number; `differs` from ours, or could not be read."""

    text: str
    differs: bool


def number_in(text: str) -> str:
    """The number in what somebody said; '' when nothing in it looks like one.

    Words of three letters and more without a figure are talk, unless they are in capitals, as on
    a plate; what holds a figure or a '?' is the number with whatever stands around it.

    >>> number_in("somebody reports 2?45B")
    '2?45B'
    >>> number_in("serial L8-5I 04B7, at a shop")
    'L8-5I 04B7'
    >>> number_in("blue strap")
    ''
    """
    words = _QUOTES.sub(" ", text).split()
    kept = [word for word in words if _holds_figure(word) or not _is_talk(word)]
    while kept and not _holds_figure(kept[-1]):
        kept.pop()
    while kept and not _holds_figure(kept[0]) and kept[0].islower():
        kept.pop(0)
    number = " ".join(kept)
    return number if len(cleaned(number)) >= SHORTEST else ""


def _holds_figure(word: str) -> bool:
    return UNREADABLE in word or any(character.isdigit() for character in word)


def _is_talk(word: str) -> bool:
    return word.islower() or (_SPOKEN.fullmatch(word) is not None and not word.isupper())


def characters(match: SerialMatch) -> tuple[Character, ...]:
    """The cleaned report with what differs from ours marked.

    >>> from collection.core.serial import search
    >>> [c.text for c in characters(search("2?45B", ["21458"])[0]) if c.differs]
    ['?', 'B']
    """
    places = frozenset(match.differs_at)
    return tuple(Character(text, place in places) for place, text in enumerate(match.report))

"""What a public notice of a theft may say, and what must be kept off it.

House rule (domain: private by default): a notice speaks of the pieces of its incident and of
nothing else. No name of a person, no private place, no hidden or held-back mark, no serial of
another piece. A text in which one of these stands is left off whole: a line with a hole in it
still tells what was cut out.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass

SHORTEST = 4  # characters: a shorter serial or mark is found inside ordinary words
NO_NAMES = frozenset({"the", "and", "van", "von", "der", "den", "de", "la", "le", "ltd", "co"})


@dataclass(frozen=True)
class Secrets:
    """What a notice must not say: people's names, words for private places, numbers, marks.

    `allowed` are words that may stand although a name has them, such as the town of the theft.
    """

    names: tuple[str, ...] = ()
    places: tuple[str, ...] = ()
    numbers: tuple[str, ...] = ()
    marks: tuple[str, ...] = ()
    allowed: tuple[str, ...] = ()


def leak(text: str, secrets: Secrets) -> str:
    """Why a text may not stand on a notice; '' when it may.

    >>> leak("Bo's grey box", Secrets(names=("Bo Lindgren",)))
    'names a person'
    >>> leak("Grey box", Secrets(names=("Bo Lindgren",)))
    ''
    """
    words = _words(text)
    if words & _name_words(secrets):
        return "names a person"
    if any(_phrase_in(place, text) for place in secrets.places):
        return "names a private place"
    if tells_number(text, secrets.numbers):
        return "gives a number kept off the notice"
    if any(_phrase_in(mark, text) for mark in secrets.marks):
        return "tells a mark held back"
    return ""


def without_leaks(texts: Iterable[str], secrets: Secrets) -> tuple[str, ...]:
    """Those of the texts that may stand on a notice, in order."""
    return tuple(text for text in texts if text and not leak(text, secrets))


def tells_number(text: str, numbers: Iterable[str]) -> bool:
    """Whether a number stands in a text, however either is spaced or hyphened.

    >>> tells_number("branded mv7f42 inside", ("MV-7F-42",))
    True
    """
    return any(_number_in(number, text) for number in numbers)


def _words(text: str) -> set[str]:
    return set(re.findall(r"[^\W\d_]+", text.casefold().replace("’s", "").replace("'s", "")))


def _name_words(secrets: Secrets) -> set[str]:
    said = {word for name in secrets.names for word in _words(name) if len(word) > 1}
    return said - NO_NAMES - {word for text in secrets.allowed for word in _words(text)}


def _phrase_in(phrase: str, text: str) -> bool:
    wanted = " ".join(phrase.casefold().split())
    pattern = rf"(?<!\w){re.escape(wanted)}(?!\w)"
    return bool(wanted) and re.search(pattern, " ".join(text.casefold().split())) is not None


def _number_in(number: str, text: str) -> bool:
    wanted, said = _plain(number), _plain(text)
    return len(wanted) >= SHORTEST and wanted in said


def _plain(text: str) -> str:
    return "".join(c for c in text.upper() if c.isalnum())

"""A stocktake: codes read as people type them, the count against the list, five to recount.

House rules. The list is what the book had at the place when the count began; whoever counts sees
it only after saying that the count is done. What was entered in the book since, of the thing or
of a case it is in, is no difference of the count: it stands apart, as moved meanwhile.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from hashlib import sha256

import rfc8785

SIGN_DAYS = 30  # house rule: within so many days somebody else signs
DRAWN = 5  # house rule: so many are counted again
_ADDRESS = re.compile(r"\S*/pieces/([^/\s?#]+)/?\S*")
_GROUPS = re.compile(r"[A-Z]+|[0-9]+")
_MOST_WORDS = 4  # of a code typed with spaces: 'TRUCK A', 'A 007'


@dataclass(frozen=True)
class Read:
    """Codes that are known, each once and in order, and what could not be read as one."""

    codes: tuple[str, ...]
    unknown: tuple[str, ...]


def read_codes(text: str, known: Collection[str]) -> Read:
    """Codes out of what was typed, pasted or scanned.

    Small letters, missing zeros, spaces or hyphens do no harm; the address of a piece counts as
    its code. What could mean several codes is not guessed.

    >>> read_codes("a7, A 012 x99", {"A-007", "A-012"})
    Read(codes=('A-007', 'A-012'), unknown=('X99',))
    """
    by_key: dict[str, list[str]] = {}
    for code in known:
        by_key.setdefault(_key(code), []).append(code)
    codes: list[str] = []
    unknown: list[str] = []
    for chunk in re.split(r"[,;\n\r\t]+", _ADDRESS.sub(r" \1 ", text)):
        words = chunk.upper().split()
        while words:
            taken, code = _first(words, known, by_key)
            (codes if code else unknown).append(code or " ".join(words[:taken]))
            words = words[taken:]
    return Read(tuple(dict.fromkeys(codes)), tuple(dict.fromkeys(unknown)))


def _first(
    words: Sequence[str], known: Collection[str], by_key: Mapping[str, list[str]]
) -> tuple[int, str]:
    """How many words the next code takes, and the code; '' when it is none."""
    for taken in range(min(_MOST_WORDS, len(words)), 0, -1):
        said = "-".join(words[:taken])
        found = by_key.get(_key(said), [])
        if said in known or len(found) == 1:
            return taken, said if said in known else found[0]
    cut_apart = len(words) > 1 and words[0].isalpha() and words[1].isdigit()
    return (2 if cut_apart else 1), ""


def _key(code: str) -> str:
    """A code without what people leave out: 'A-007' and 'A7' have the same."""
    groups = [g if g.isalpha() else g.lstrip("0") or "0" for g in _GROUPS.findall(code)]
    key = ""
    for group in groups:
        key += "." + group if key[-1:].isdigit() and group.isdigit() else group
    return key


@dataclass(frozen=True)
class Compared:
    """The codes of the list and of the count, each in one group, in order of code."""

    as_expected: tuple[str, ...]
    other_place: tuple[str, ...]  # on the list, but in another place inside
    not_seen: tuple[str, ...]
    too_many: tuple[str, ...]  # here, but the book had it elsewhere
    meanwhile: tuple[str, ...]

    @property
    def clean(self) -> bool:
        """Whether list and count agree."""
        return not (self.other_place or self.not_seen or self.too_many)


def compare(
    expected: Mapping[str, str],
    counted: Mapping[str, str],
    *,
    meanwhile: Collection[str] = (),
    around: Mapping[str, Collection[str]] | None = None,
) -> Compared:
    """The count against the list.

    Args:
        expected: code to the place that the book had it at when the count began.
        counted: code to the place it was seen at, '' where nobody said which.
        meanwhile: codes that the book was told something about since.
        around: place to the places it stands inside; who says 'bay 3' of a thing in a case in
            bay 3 does not contradict the book.
    """
    nests = around or {}

    def fits(code: str) -> bool:
        said, had = counted[code], expected[code]
        return not said or said == had or said in nests.get(had, ())

    seen = expected.keys() & counted.keys()
    missed = expected.keys() - counted.keys()
    more = counted.keys() - expected.keys()
    since = set(meanwhile)
    return Compared(
        as_expected=tuple(sorted(code for code in seen if fits(code))),
        other_place=tuple(sorted(code for code in seen if not fits(code))),
        not_seen=tuple(sorted(missed - since)),
        too_many=tuple(sorted(more - since)),
        meanwhile=tuple(sorted((missed | more) & since)),
    )


def list_hash(content: Mapping[str, object]) -> str:
    """SHA-256 of list and count as canonical JSON (RFC 8785), 64 hex digits.

    `content` should hold a random number drawn when the count began, or whoever counts could
    reckon beforehand which five will be drawn.
    """
    return sha256(rfc8785.dumps(dict(content))).hexdigest()  # type: ignore[arg-type]


def drawn(codes: Iterable[str], listed: str, *, count: int = DRAWN) -> tuple[str, ...]:
    """The codes to recount: those whose SHA-256 after the list's hash comes first.

    Anybody can reckon it again: hash the 64 hex digits of `listed`, a space and the code; the
    `count` smallest are drawn. Nobody picks, and nobody can draw twice.
    """
    rank = {code: sha256(f"{listed} {code}".encode()).hexdigest() for code in set(codes)}
    return tuple(sorted(rank, key=lambda code: rank[code])[:count])


def sign_by(closed_on: date) -> date:
    """The last day for the second signature."""
    return closed_on + timedelta(days=SIGN_DAYS)

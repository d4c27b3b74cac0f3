"""What a code is called, told by whoever knows places and people: the ledger knows codes alone.

Places and parties stand above the ledger; `collection/apps.py` hands in the function.
"""

import re
from collections.abc import Callable

from registry.access.models import Membership

Naming = Callable[[str], str]
CODE_IN_WORDS = re.compile(r"\b[A-Z][A-Z0-9]{0,7}(?:-[A-Z0-9]{1,16}){1,3}\b")

_sources: list[Callable[[Membership], Naming]] = []


def told_by(source: Callable[[Membership], Naming]) -> None:
    """Name what tells how codes are called; the newest word stands."""
    _sources[:] = [source]


def naming_for(member: Membership) -> Naming:
    """What a code is called for this member; the code itself where nobody tells."""
    return _sources[0](member) if _sources else as_it_is


def as_it_is(code: str) -> str:
    """A code left as it is."""
    return code


def in_names(sentence: str, naming: Naming) -> str:
    """A sentence of the book with names where it has codes of places and people."""
    return CODE_IN_WORDS.sub(lambda found: naming(found[0]), sentence)

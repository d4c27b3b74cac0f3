"""The table of kinds, written by hand; adding a kind costs no migration."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from collection.core.events.asked import Asked
from collection.core.events.described import Described
from collection.core.events.kind import Kind
from collection.core.events.moved import Moved
from collection.core.events.withdrawn import Withdrawn

KINDS: dict[str, type[Kind]] = {
    kind.kind: kind
    for kind in (
        Asked,
        Described,
        Moved,
        Withdrawn,
    )
}


class UnknownKind(ValueError):
    """The book names a kind that this version does not have."""


def facts_of(kind: str, facts: Mapping[str, Any], version: int = 1) -> Kind:
    """The kind's dataclass from stored facts; raises UnknownKind."""
    if kind not in KINDS:
        raise UnknownKind(f"no kind of event is called {kind!r}")
    return KINDS[kind].from_facts(facts, version)


def choices() -> list[tuple[str, str]]:
    """(kind, words) pairs for form fields and model choices."""
    return [(kind, kind.replace("_", " ")) for kind in sorted(KINDS)]

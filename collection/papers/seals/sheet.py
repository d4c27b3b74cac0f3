"""A seal as it is handed to somebody: in words for people, as JSON for machines."""

import json
from dataclasses import dataclass

from collection.custody.queries import parties
from collection.ledger.sealing.queries import Kept
from registry.access.models import Collection

PROVES = (
    "It shows whether the entries it covers are all still there, unchanged and in that order.",
    "It shows that only against a copy kept where nobody who can write the database can reach it.",
    "It does not show when anything happened, nor that what was written is true.",
)


@dataclass(frozen=True)
class Sealed:
    """A seal with the names of who has a copy."""

    kept: Kept
    holders: tuple[tuple[str, str], ...]  # (code, name)

    @property
    def rows(self) -> list[str]:
        """The root in four rows of four groups."""
        groups = self.kept.seal.groups
        return [" ".join(groups[at : at + 4]) for at in range(0, len(groups), 4)]


def with_holders(collection: Collection, found: list[Kept]) -> list[Sealed]:
    """Seals with names; 1 query."""
    names = dict(parties(collection).values_list("code", "name"))
    return [
        Sealed(kept, tuple((code, names.get(code, code)) for code in kept.held_by))
        for kept in found
    ]


def as_json(kept: Kept) -> str:
    """The seal as the file that the check reads."""
    return json.dumps(kept.seal.to_json(), indent=2) + "\n"


def as_text(sealed: Sealed, collection: Collection) -> str:
    """The seal as a letter carries it: to be printed, and kept."""
    kept = sealed.kept
    lines = [
        f"Seal {kept.code} of the book of {collection.name}",
        "",
        f"Entries:  {kept.seal.size}",
        f"Root:     {sealed.rows[0]}",
        *(f"          {row}" for row in sealed.rows[1:]),
        f"Sealed:   {kept.seal.sealed_at}",
        f"Book:     {collection.book}",
        "",
        "What it is good for",
        *(f"- {said}" for said in PROVES),
        "",
        "How to check it",
        "- On the register: More, Seals, Check a seal; paste the line below.",
        "- On the machine: manage.py verify --seal with the line below, or with the JSON file.",
        "",
        kept.seal.pair,
    ]
    return "\n".join(lines) + "\n"

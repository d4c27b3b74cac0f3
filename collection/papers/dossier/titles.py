"""From the entries on title to the clauses of the provenance paragraph."""

import re
from collections.abc import Sequence
from dataclasses import replace

from collection.core.events import facts_of
from collection.core.events.acquired import Acquired
from collection.core.events.sold import Sold
from collection.core.events.title_changed import TitleChanged
from collection.core.provenance import Clause
from collection.ledger.models import Event
from collection.papers.dossier.private import Privacy

DEALS = re.compile(r"\b(dealer|shop|auction|agent|broker|music store|seller)", re.IGNORECASE)
SOURCES = {"seen": "Seen", "document": "Document", "told": "Told", "inferred": "Worked out"}


class Titles:
    """Builds the clauses one entry after another; an entry ends the clause before it."""

    def __init__(self, collection: str, privacy: Privacy, named: frozenset[str]) -> None:
        self.collection, self.privacy, self.named = collection, privacy, named
        self.clauses: list[Clause] = []
        self.codes: list[str] = []

    def add(self, event: Event, note: str) -> None:
        """Take one effective entry, given in order of happening; `note` is its source in words."""
        facts = facts_of(event.kind, event.facts, event.facts_version)
        on = event.happened.split("T")[0] if "/" not in event.happened else event.happened
        if isinstance(facts, Acquired):
            self._end(facts.from_whom, on)
            direct = facts.direct if facts.from_whom else None
            self._begin(facts.owner, event, on, note, method=facts.method, direct=direct)
        elif isinstance(facts, TitleChanged):
            self._ended(on)
            self._begin(facts.owner, event, on, note)
        elif isinstance(facts, Sold):
            self._ended(on)
            self._begin(facts.to, event, on, note, method="bought", direct=True, outside=True)

    def _end(self, code: str, on: str) -> None:
        """Whoever it came from had it until then."""
        if code and code not in self.codes[-1:]:
            self._append(code, self._holder(code), end=on)
        else:
            self._ended(on)

    def _ended(self, on: str) -> None:
        if self.clauses and not self.clauses[-1].end:
            self.clauses[-1] = replace(self.clauses[-1], end=on)

    def _begin(
        self, code: str, event: Event, on: str, note: str, *,
        method: str = "unknown", direct: bool | None = None, outside: bool = False,
    ) -> None:  # fmt: skip
        holder = self._holder(code) if code or outside else Clause(name=self.collection)
        self._append(
            code, holder, method=method, direct=direct if self.clauses else None, begin=on,
            certainty=event.certainty, note=note,
        )  # fmt: skip

    def _append(self, code: str, holder: Clause, **facts: object) -> None:
        self.clauses.append(replace(holder, **facts))  # type: ignore[arg-type]
        self.codes.append(code)

    def _holder(self, code: str) -> Clause:
        """The party by name where it was chosen, else by the role outsiders are told."""
        party = self.privacy.parties.get(code)
        if party is None:
            return Clause()
        deals = bool(DEALS.search(f"{party.name} {party.does}"))
        if code in self.named:
            return Clause(name=party.name, dealer=deals)
        return Clause(name=party.name, private=True, role=party.outward, dealer=deals)


def clauses_of(
    lines: Sequence[tuple[Event, str]], *, collection: str, privacy: Privacy, named: frozenset[str]
) -> list[Clause]:
    """The clauses of (effective entry, words of its source), in order of happening."""
    titles = Titles(collection, privacy, named)
    for event, words in lines:
        source = SOURCES.get(event.source, event.source)
        titles.add(event, f"{source}{f': {words}' if words else ''}, entry {event.sequence}")
    return titles.clauses

"""Lines of the history as the dossier prints them: one row each, shows that follow in one row."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from itertools import groupby
from typing import Any

from collection.catalogue.told import in_names
from collection.core.events import facts_of
from collection.core.events.played import Played
from collection.core.events.valued import Valued
from collection.core.ranges import in_ranges
from collection.core.wording import money
from collection.ledger.lines import sentence_of, when_of
from collection.ledger.models import Event
from collection.papers.dossier.choice import Chosen
from collection.papers.dossier.queries import HistoryLine

SOURCES = {"seen": "seen", "document": "document", "told": "told", "inferred": "worked out"}


@dataclass(frozen=True)
class Teller:
    """Says entries of one piece's history in words for outsiders."""

    chosen: Chosen
    shows: Mapping[str, str]

    def sentence(self, event: Event) -> str:
        """What an entry says, codes as outsiders may know them; a value where it was chosen."""
        facts = facts_of(event.kind, event.facts, event.facts_version)
        code = self.chosen.history.piece.code
        if isinstance(facts, Played) and event.subject.code != code:
            return facts.for_one(code, self.shows.get(event.subject.code, event.subject.code))
        if isinstance(facts, Valued):
            amount = money(facts.value_minor, facts.currency)
            return facts.sentence().replace("Valued", f"Valued at {amount}", 1)
        return in_names(sentence_of(event), self._called)

    def _called(self, code: str) -> str:
        choice = self.chosen.choice
        return self.shows.get(code) or self.chosen.history.privacy.called(code, choice.named)

    def rows(self) -> list[dict[str, Any]]:
        """The life line, oldest first."""
        runs = groupby(self.chosen.lines, key=self._plain_show)
        return [row for plain, lines in runs for row in self._run(list(lines), plain)]

    def row(self, line: HistoryLine) -> dict[str, Any]:
        """One line with source, certainty, who recorded it and what it struck."""
        last, tells = line.last, self.chosen.tells(line)
        return {
            "when": when_of(last),
            "says": self.sentence(last),
            "words": last.words if tells else "",
            "source": SOURCES.get(last.source, last.source),
            "from": last.source_note if tells else "",
            "certainty": last.certainty,
            "by": last.recorded_by,
            "entries": str(last.sequence),
            "kept_back": bool(last.words or last.source_note) and not tells,
            "taken_out": bool(last.words_hash) and not (last.words or last.source_note),
            "struck": [
                {"says": self.sentence(event), "entry": event.sequence, "when": when_of(event)}
                for event in reversed(line.events[:-1])
            ],
        }

    def _run(self, lines: list[HistoryLine], plain: bool) -> Iterable[dict[str, Any]]:
        if not plain or len(lines) < 3:
            return map(self.row, lines)
        first, last = self.row(lines[0]), self.row(lines[-1])
        numbers = [line.number for line in lines]
        when = f"{first['when'].split(',')[0]} to {last['when'].split(',')[0]}"
        says = f"Played without fault, {len(lines)} times."
        same = {"words": "", "from": "", "kept_back": any(x.has_words for x in lines)}
        return [{**last, **same, "when": when, "says": says, "entries": in_ranges(numbers)}]

    def _plain_show(self, line: HistoryLine) -> bool:
        last = line.last
        facts = facts_of(last.kind, last.facts, last.facts_version)
        code = self.chosen.history.piece.code
        played = isinstance(facts, Played) and not facts.session
        return played and code in facts.pieces and len(line.events) == 1 and not self._speaks(line)

    def _speaks(self, line: HistoryLine) -> bool:
        return line.has_words and self.chosen.tells(line)

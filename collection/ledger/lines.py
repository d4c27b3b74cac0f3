"""Lines: an effective entry with what it struck, as life lines and the book show it."""

import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import datetime, tzinfo
from typing import Any

from collection.core.chronology import unclear_rivals
from collection.core.entry import Placed
from collection.core.events import facts_of
from collection.core.partial_date import PartialDate
from collection.ledger.leaf import to_entry
from collection.ledger.models import Event
from collection.ledger.naming import Naming, as_it_is, in_names


def sentence_of(event: Event) -> str:
    """The sentence of an entry's kind."""
    return facts_of(event.kind, event.facts, event.facts_version).sentence()


LONG_MONTH = re.compile(r"\b(Jan|Feb|Aug|Sep|Oct|Nov|Dec)(?:uary|ruary|ust|tember|ober|ember)\b")


def when_of(event: Event) -> str:
    """An entry's date in few words, on the clock it was written by: '24 Nov 2026, 13:02'."""
    return in_short(event.happened) if event.happened else "date not known"


def in_short(happened: str) -> str:
    """An accepted date in few words; long months lose their tails, an instant its zone."""
    if "T" in happened and "/" not in happened:
        moment = datetime.fromisoformat(happened)
        return f"{moment.day} {moment:%b %Y, %H:%M}"
    return LONG_MONTH.sub(r"\1", PartialDate.parse(happened).sentence())


@dataclass(frozen=True)
class Line:
    """One effective entry for a life line, with the entries it struck through, oldest first.

    `who`: the name of who recorded it. `order_unclear`: whether it came before or after another
    entry that says something else is not known. `taken_out`: the entry that says why its words
    are gone. `naming`: what codes of places and people are called in its sentences.
    """

    event: Event
    struck: tuple[Event, ...] = ()
    who: str = ""
    order_unclear: bool = False
    taken_out: Event | None = None
    naming: Naming = as_it_is

    @property
    def sentence(self) -> str:
        """What the entry says."""
        return in_names(sentence_of(self.event), self.naming)

    @property
    def struck_sentences(self) -> list[str]:
        """What the entries said that it put right, oldest first."""
        return [in_names(sentence_of(event), self.naming) for event in self.struck]

    @property
    def called(self) -> str:
        """What it is about, by name; '' for a piece, whose code is its name on the radio."""
        subject = self.event.subject
        return "" if subject.kind == "piece" else self.naming(subject.code)

    @property
    def question(self) -> str:
        """What a Question asks, '' in any other entry."""
        return in_names(self.event.facts.get("question", ""), self.naming)

    @property
    def words(self) -> str:
        """The words that stand beside the facts."""
        return self.event.words

    @property
    def gone_words(self) -> str:
        """When and why its words were taken out, '' while they stand."""
        if self.taken_out is None:
            return ""
        because = str(self.taken_out.facts["because"]).rstrip(".")
        return f"Words taken out on {when_of(self.taken_out)}, because: {because}."

    @property
    def facts(self) -> Mapping[str, Any]:
        """The facts by field, as the templates of kinds print them."""
        return self.event.facts

    @property
    def withdrawn(self) -> bool:
        """Whether the line has been taken back."""
        return self.event.kind == "withdrawn"

    @property
    def when(self) -> str:
        """The date as the source says it, in words."""
        return when_of(self.event)

    @property
    def day(self) -> str:
        """The ISO day when the date is exactly one, else ''."""
        known = self.event.earliest and self.event.earliest == self.event.latest
        return self.event.earliest.isoformat() if known else ""

    @property
    def template(self) -> str:
        """The template of the entry's kind."""
        return f"ledger/events/{self.event.kind}.html"

    def placed(self) -> Placed:
        """The line in its place, as the core sees it."""
        first = self.struck[0] if self.struck else self.event
        entry = to_entry(self.event, self.event.subject.code)
        return Placed(entry, first.sequence, self.event.placed_us)


def named(lines: Iterable[Line], naming: Naming) -> list[Line]:
    """The lines with names where they have codes of places and people."""
    return [replace(line, naming=naming) for line in lines]


@dataclass(frozen=True)
class BookLine(Line):
    """One entry on a page of the book; `corrected_by` is the number of what put it right."""

    corrected_by: int | None = None

    @property
    def short_hash(self) -> str:
        """The beginning of its leaf, enough to tell two apart by eye."""
        return self.event.leaf[:12]


def facts_in_words(event: Event, naming: Naming = as_it_is) -> list[tuple[str, str]]:
    """(name, value) of every fact that says something, for people."""
    said = [(name.replace("_", " "), in_words(value)) for name, value in event.facts.items()]
    return [(name, in_names(value, naming)) for name, value in said if value]


def in_words(value: Any) -> str:
    """A fact's value for people; '' when it says nothing."""
    if value is None or value == "":
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, list):
        return "; ".join(_item(item) for item in value)
    return str(value)


def _item(item: Any) -> str:
    return ": ".join(in_words(part) for part in item) if isinstance(item, list) else in_words(item)


def _place(facts: Mapping[str, Any]) -> object:
    return facts.get("to") or facts.get("at")


def _owner(facts: Mapping[str, Any]) -> object:
    return facts.get("owner")


def _stands(facts: Mapping[str, Any]) -> object:
    return dict(facts)


# A chain: the kinds that follow each other in it, and what of their facts must agree.
CHAINS: tuple[tuple[frozenset[str], Callable[[Mapping[str, Any]], object]], ...] = (
    (frozenset({"moved", "sighted", "returned", "recovered"}), _place),
    (frozenset({"acquired", "title_changed"}), _owner),
    (
        frozenset({"lent", "returned", "stolen", "recovered", "not_found", "sold", "disposed"}),
        _stands,
    ),
)
CHAINED = frozenset().union(*(kinds for kinds, _ in CHAINS))


def with_unclear_order(lines: list[Line], others: Iterable[Line], zone: tzinfo) -> list[Line]:
    """The lines, newest first, marked where the last of a chain may not have been the last.

    `others`: older lines whose dates may reach past them.
    """
    unclear: set[int] = set()
    known = [*lines, *others]
    for kinds, said in CHAINS:
        chain = [line for line in known if line.event.kind in kinds and said(line.event.facts)]
        if not chain:
            continue
        winner = chain[0].placed()
        rivals = unclear_rivals([line.placed() for line in chain[1:]], winner, zone)
        real = [r for r in rivals if _lead_apart(r, winner, said)]
        if real:
            unclear |= {winner.entry.number, *(r.entry.number for r in real)}
    return [replace(line, order_unclear=line.event.sequence in unclear) for line in lines]


def _lead_apart(one: Placed, other: Placed, said: Callable[[Mapping[str, Any]], object]) -> bool:
    """Whether two entries of a chain lead to different things."""
    if said is _stands and one.entry.kind != other.entry.kind:
        return True
    return said(one.entry.facts) != said(other.entry.facts)

"""The open book: where entries are checked, written and folded, one writer at a time."""

import secrets
from dataclasses import dataclass, field
from datetime import datetime

from collection.core import merkle
from collection.core.chronology import placed_us, refuse_future
from collection.core.entry import UNKNOWN_US, Placed
from collection.core.events.asked import Asked
from collection.core.events.kind import Kind
from collection.core.fold import apply
from collection.core.partial_date import PartialDate
from collection.core.state import State as Known
from collection.core.state import from_json
from collection.ledger import projection, rows
from collection.ledger.codes import PREFIXES, following, well_formed
from collection.ledger.errors import CodeTaken, LedgerError, NotTheNewest, PlanRefused
from collection.ledger.leaf import hash_words, leaf_of, to_entry
from collection.ledger.models import Branch, Event, Head, Mention, State, Subject
from collection.ledger.settling import Change, settle
from collection.ledger.telling import Telling
from registry import clock
from registry.access.models import Collection, Membership

BRANCH = 1024


@dataclass
class Loaded:
    """A subject loaded into the open book, with its state and where its history ends."""

    subject: Subject
    state: Known
    last_us: int = UNKNOWN_US
    last_number: int = -1
    changed: bool = False
    refold: bool = False
    before: Known = field(init=False)  # what the book said when the act began

    def __post_init__(self) -> None:
        self.before = self.state


@dataclass
class Book:
    """An open book; entries are flushed together when it closes."""

    collection: Collection
    head: Head
    by: str
    now: datetime
    act: str = field(default_factory=lambda: secrets.token_hex(16))
    known: dict[str, Loaded] = field(default_factory=dict)
    events: list[Event] = field(default_factory=list)
    mentions: list[Mention] = field(default_factory=list)
    written: dict[int, Event] = field(default_factory=dict)

    # -- subjects -------------------------------------------------------------------------
    def new_subject(self, kind: str, code: str = "") -> Subject:
        """A new code in the collection; the next of its prefix when none is given."""
        code = code or self.next_code(PREFIXES[kind])
        if not well_formed(code):
            raise LedgerError(f"{code} is not a code; codes look like A-007.")
        subject, made = Subject.objects.get_or_create(
            collection=self.collection, code=code, defaults={"kind": kind}
        )
        if not made:
            raise CodeTaken(f"{code} already means a {subject.kind} in this collection.")
        self.known[code] = Loaded(subject, Known())
        return subject

    def next_code(self, prefix: str) -> str:
        """The next free code with a prefix."""
        taken = Subject.objects.of(self.collection).filter(code__startswith=f"{prefix}-")
        return following(prefix, list(taken.values_list("code", flat=True)))

    def load(self, codes: set[str]) -> None:
        """Bring subjects and their states into the book, all in one query."""
        missing = {c for c in codes if c} - self.known.keys()
        if not missing:
            return
        for subject, kept in rows.subjects(self.collection, missing):
            self.known[subject.code] = Loaded(subject, Known())
            if kept is not None:
                detail, last_us, last_number = kept
                self.known[subject.code] = Loaded(subject, from_json(detail), last_us, last_number)
        unknown = sorted(missing - self.known.keys())
        if unknown:
            raise LedgerError(f"No such code in this collection: {', '.join(unknown)}.")

    def state(self, code: str) -> Known:
        """What the book says of a code now."""
        self.load({code})
        if self.known[code].refold:
            self.flush()
        return self.known[code].state

    # -- entries --------------------------------------------------------------------------
    def append(
        self,
        facts: Kind,
        subject: str,
        telling: Telling | None = None,
        *,
        corrects: int | None = None,
        answers: int | None = None,
    ) -> Event:
        """Write one entry and what follows from it; returns the event.

        An observation is never refused: what speaks against it becomes a Question. A plan that
        the book speaks against raises PlanRefused. Sent twice (`once`), it is written once.
        """
        telling = telling or Telling()
        if before := self.sent_before(telling.once):
            return before
        self._check_date(telling.happened)
        names = facts.names()
        self.load({subject, *names.values()})
        first = self._first_of_line(corrects, facts.kind, subject)
        problems = facts.problems(self._states(subject, names))
        if problems and not facts.observed:
            raise PlanRefused(problems)
        event = self._event(facts, subject, names, telling, corrects=corrects, answers=answers)
        self._place(event, first, answers)
        self._write(event, subject, facts.bystanders)
        if problems:
            self._ask(problems, event, subject)
        return event

    def sent_before(self, once: str | None) -> Event | None:
        """The entry that the same press of the same form wrote already, if there is one."""
        if not once:
            return None
        for event in self.events:
            if event.once == once:
                return event
        return Event.objects.of(self.collection).filter(once=once).first()

    def _check_date(self, happened: str) -> None:
        if happened:
            PartialDate.parse(happened)
            refuse_future(happened, now=self.now, zone=self.collection.zone_info)

    def _states(self, subject: str, names: dict[str, str]) -> dict[str, Known]:
        roles = {"subject": subject, **names}
        return {role: self.state(code) for role, code in roles.items()}

    def _first_of_line(self, corrects: int | None, kind: str, subject: str) -> Event | None:
        """The first entry of the line being corrected, after checking that it may be."""
        if corrects is None:
            return None
        self.flush()
        event = self._entry(corrects)
        same_kind = kind in {event.kind, "withdrawn"} or event.kind == "withdrawn"
        if event.subject.code != subject or not same_kind:
            raise LedgerError(
                "A correction keeps subject and kind; withdraw the entry and write it anew."
            )
        if Event.objects.of(self.collection).filter(corrects=corrects).exists():
            raise NotTheNewest(
                f"Entry {corrects} has been corrected already; correct the newest of its line."
            )
        while event.corrects is not None:
            event = self._entry(event.corrects)
        return event

    def _entry(self, number: int) -> Event:
        event = Event.objects.of(self.collection).filter(sequence=number)
        found = event.select_related("subject").first()
        if found is None:
            raise LedgerError(f"There is no entry {number} in this book.")
        return found

    def _event(self, facts: Kind, subject: str, names, telling: Telling, **answering) -> Event:
        when = PartialDate.parse(telling.happened) if telling.happened else None
        event = Event(
            collection=self.collection,
            sequence=self.head.size + len(self.events),
            subject=self.known[subject].subject,
            kind=facts.kind,
            facts=facts.to_facts(),
            facts_version=facts.version,
            names=names,
            happened=telling.happened,
            earliest=when.earliest if when else None,
            latest=when.latest if when else None,
            recorded_at=self.now,
            written_at=telling.written_at,
            recorded_by=self.by,
            source=telling.source,
            source_note=telling.source_note,
            certainty=telling.certainty,
            words=telling.words,
            act=self.act,
            once=telling.once,
            **answering,
        )
        event.words_hash = hash_words(event)
        event.leaf = leaf_of(event, self.collection, subject).hex()
        return event

    def _place(self, event: Event, first: Event | None, answers: int | None) -> None:
        recorded_at = first.recorded_at if first else event.recorded_at
        zone = self.collection.zone_info
        event.placed_us = placed_us(event.happened, recorded_at=recorded_at, zone=zone)
        if answers is not None:
            answered = self._pending(answers) or self._entry(answers)
            event.placed_us = max(event.placed_us, answered.placed_us)

    def _pending(self, number: int) -> Event | None:
        index = number - self.head.size
        return self.events[index] if 0 <= index < len(self.events) else None

    def _write(self, event: Event, subject: str, bystanders: frozenset[str]) -> None:
        self.events.append(event)
        roles = {"subject": subject, **event.names}
        self.mentions += [
            Mention(subject=self.known[code].subject, role=role, placed_us=event.placed_us)
            for role, code in roles.items()
        ]
        for mention in self.mentions[-len(roles) :]:
            mention.entry = event
        placed = Placed(to_entry(event, subject), event.sequence, event.placed_us)
        again = event.corrects is not None
        for code in dict.fromkeys(roles.values()):
            if not again and bystanders.issuperset(
                r for r, named in roles.items() if named == code
            ):
                self._stand_by(code, placed)
            else:
                self._fold(code, placed, again=again)

    def _stand_by(self, code: str, placed: Placed) -> None:
        """What is only named stays as it is: a place is not folded anew for an old move to it."""
        known = self.known[code]
        if not known.refold and placed.placed_us >= known.last_us:
            known.changed = True
            known.last_us, known.last_number = placed.placed_us, placed.entry.number

    def _fold(self, code: str, placed: Placed, *, again: bool) -> None:
        known = self.known[code]
        known.changed = True
        if again or known.refold or placed.placed_us < known.last_us:
            known.refold = True
            return
        known.state = apply(known.state, placed, code, self.collection.zone_info)
        known.last_us, known.last_number = placed.placed_us, placed.entry.number

    def _ask(self, problems: tuple[str, ...], event: Event, about: str) -> None:
        for problem in problems:
            question = self.new_subject("question")
            asked = Asked(question=problem, about=about, entry=event.sequence)
            self.append(asked, question.code, Telling(happened="", source="inferred"))

    # -- closing --------------------------------------------------------------------------
    def close(self) -> None:
        """Write what is left, then let rows beside the book follow."""
        self.flush()
        settle(
            [
                Change(known.subject, known.before, known.state)
                for known in self.known.values()
                if known.state != known.before
            ]
        )

    def flush(self) -> None:
        """Write what has been appended: entries, mentions, states, frontier."""
        if self.events:
            self._flush_entries()
        self._flush_states()

    def _flush_entries(self) -> None:
        rows.insert(self.events, tell_apart_by="sequence")
        for mention in self.mentions:
            mention.entry_id = mention.entry.pk
        rows.insert(self.mentions)
        frontier = tuple(bytes.fromhex(node) for node in self.head.frontier)
        for event in self.events:
            frontier = merkle.append(frontier, bytes.fromhex(event.leaf))
        before, self.head.size = self.head.size, self.head.size + len(self.events)
        self.head.frontier = [node.hex() for node in frontier]
        rows.keep_head(self.head)
        self.written |= {event.sequence: event for event in self.events}
        corrected = [e for e in self.events if e.corrects is not None]
        self.events, self.mentions = [], []
        self._grow_branches(before)
        for event in corrected:
            self._touch_line(event)

    def _grow_branches(self, before: int) -> None:
        for number in range(before // BRANCH, self.head.size // BRANCH):
            leaves = (
                Event.objects.of(self.collection)
                .filter(sequence__gte=number * BRANCH, sequence__lt=(number + 1) * BRANCH)
                .order_by("sequence")
                .values_list("leaf", flat=True)
            )
            root = merkle.root([bytes.fromhex(leaf) for leaf in leaves]).hex()
            Branch.objects.create(collection=self.collection, number=number, root=root)

    def _touch_line(self, event: Event) -> None:
        """Refold everything that the corrected line ever named."""
        while event.corrects is not None:
            event = self.written.get(event.corrects) or self._entry(event.corrects)
            codes = {event.subject.code, *event.names.values()}
            self.load(codes)
            for code in codes:
                self.known[code].changed = self.known[code].refold = True

    def _flush_states(self) -> None:
        changed = [known for known in self.known.values() if known.changed]
        for known in changed:
            if known.refold:
                projection.place_again(known.subject)
                known.state, last = projection.refold(known.subject)
                known.last_us = last.placed_us if last else UNKNOWN_US
                known.last_number = last.entry.number if last else -1
                known.refold = False
        self.load({code for known in changed for code in projection.pointed_at(known.state)})
        ids = {code: known.subject.pk for code, known in self.known.items()}
        projection.keep([self._row(known, ids) for known in changed])
        for known in changed:
            known.changed = False

    def _row(self, known: Loaded, ids: dict[str, int]) -> State:
        return projection.row_of(
            known.subject, known.state, at_us=known.last_us, number=known.last_number, ids=ids
        )


def opened(collection: Collection, by: Membership | str) -> Book:
    """The book of a collection with its Head locked; inside a transaction only."""
    head = rows.locked_head(collection)
    if head is None:
        Head.objects.get_or_create(collection=collection)
        head = rows.locked_head(collection)
    code = by if isinstance(by, str) else by.code
    return Book(collection=collection, head=head, by=code, now=clock.now())

"""Reading the book: histories, pages of entries, questions."""

from dataclasses import dataclass

from django.db.models import Exists, OuterRef, QuerySet

from collection.core.entry import UNKNOWN_US, from_us
from collection.core.events import facts_of
from collection.core.partial_date import PartialDate
from collection.ledger.models import Event, Mention, State, Subject
from registry.access.models import Collection

PAGE = 50


@dataclass(frozen=True)
class Line:
    """One effective entry for a life line, with the entries it struck through, oldest first."""

    event: Event
    struck: tuple[Event, ...] = ()

    @property
    def sentence(self) -> str:
        """What the entry says."""
        return sentence_of(self.event)

    @property
    def withdrawn(self) -> bool:
        """Whether the line has been taken back."""
        return self.event.kind == "withdrawn"

    @property
    def when(self) -> str:
        """The date as the source says it, in words."""
        return when_of(self.event)

    @property
    def template(self) -> str:
        """The template of the entry's kind."""
        return f"ledger/events/{self.event.kind}.html"


def sentence_of(event: Event) -> str:
    """The sentence of an entry's kind."""
    return facts_of(event.kind, event.facts, event.facts_version).sentence()


def when_of(event: Event) -> str:
    """An entry's date in words; 'date not known' when there is none."""
    return PartialDate.parse(event.happened).sentence() if event.happened else "date not known"


def events(collection: Collection) -> QuerySet[Event]:
    """Entries of a collection, with their subject."""
    return Event.objects.of(collection).select_related("subject")


def superseded() -> Exists:
    """Whether another entry corrects this one."""
    return Exists(
        Event.objects.filter(collection=OuterRef("collection"), corrects=OuterRef("sequence"))
    )


def life_line(subject: Subject, *, limit: int = PAGE, before: int | None = None) -> list[Line]:
    """The newest effective entries of a subject, newest first, with what they struck; 3 queries.

    `before` continues below an entry's number within the order of happening.
    """
    mentions = Mention.objects.filter(subject=subject)
    if before is not None:
        last = mentions.filter(entry__sequence=before).first()
        if last:
            mentions = mentions.filter(placed_us__lte=last.placed_us).exclude(
                entry__sequence=before
            )
    newest = (
        mentions.filter(
            ~Exists(
                Event.objects.filter(
                    collection=OuterRef("entry__collection"), corrects=OuterRef("entry__sequence")
                )
            )
        )
        .select_related("entry__subject")
        .order_by("-placed_us", "-entry__sequence")
    )
    found = list({m.entry_id: m.entry for m in newest[: limit * 2]}.values())[:limit]
    return _with_struck(found)


def _with_struck(found: list[Event]) -> list[Line]:
    targets = {e.corrects for e in found if e.corrects is not None}
    older: dict[int, Event] = {}
    while targets - older.keys():
        collection = found[0].collection_id
        rows = Event.objects.filter(collection=collection, sequence__in=targets - older.keys())
        fetched = {e.sequence: e for e in rows.select_related("subject")}
        older |= fetched
        targets = {e.corrects for e in fetched.values() if e.corrects is not None}
        if not fetched:
            break
    return [Line(event, _line_below(event, older)) for event in found]


def _line_below(event: Event, older: dict[int, Event]) -> tuple[Event, ...]:
    struck: list[Event] = []
    while event.corrects is not None and event.corrects in older:
        event = older[event.corrects]
        struck.append(event)
    return tuple(reversed(struck))


def book_page(
    collection: Collection, *, below: int | None = None, limit: int = PAGE
) -> list[Event]:
    """A page of the whole book, newest entry first; keyset by entry number."""
    rows = events(collection).order_by("-sequence")
    return list(rows.filter(sequence__lt=below)[:limit] if below is not None else rows[:limit])


def open_questions(collection: Collection) -> QuerySet[State]:
    """States of Questions that nobody has answered."""
    return State.objects.of(collection).filter(subject__kind="question", condition="open")


def questions_about(subject: Subject) -> list[Event]:
    """Entries that opened a Question about a thing and are still open."""
    asked = Event.objects.filter(
        kind="asked", mentions__subject=subject, mentions__role="about"
    ).select_related("subject__state")
    return [event for event in asked if event.subject.state.condition == "open"]


def local_instant(event: Event):
    """The UTC instant an entry is placed at, None when its date is unknown."""
    return None if event.placed_us == UNKNOWN_US else from_us(event.placed_us)

"""Reading the book: histories, pages of entries, questions."""

from datetime import timedelta

from django.db.models import Exists, OuterRef, Q, QuerySet, Subquery

from collection.ledger.lines import (
    CHAINED,
    BookLine,
    Line,
    facts_in_words,
    sentence_of,
    when_of,
    with_unclear_order,
)
from collection.ledger.models import Event, Mention, Subject
from collection.ledger.redaction.queries import reasons
from registry.access.models import Collection
from registry.access.queries import member_names

__all__ = [
    "Line",
    "facts_in_words",
    "sentence_of",
    "when_of",
]

PAGE = 50


def events(collection: Collection) -> QuerySet[Event]:
    """Entries of a collection, with their subject."""
    return Event.objects.of(collection).select_related("subject")


def superseded() -> Exists:
    """Whether another entry corrects this one."""
    return Exists(
        Event.objects.filter(collection=OuterRef("collection"), corrects=OuterRef("sequence"))
    )


def life_line(subject: Subject, *, limit: int = PAGE, before: int | None = None) -> list[Line]:
    """The newest effective entries of a subject, newest first, with what they struck; 5 queries.

    `before` continues below an entry's number within the order of happening.
    """
    mentions = Mention.objects.filter(subject=subject)
    if before is not None:
        last = mentions.filter(entry__sequence=before).first()
        if last:  # entries at one moment stand by number, so the moment alone would repeat some
            earlier = Q(placed_us=last.placed_us, entry__sequence__lt=before)
            mentions = mentions.filter(Q(placed_us__lt=last.placed_us) | earlier)
    newest = _effective(mentions)
    found = list({m.entry_id: m.entry for m in newest[: limit * 2]}.values())[:limit]
    lines = with_struck(found)
    if before is not None or not any(event.kind in CHAINED for event in found):
        return lines
    return with_unclear_order(lines, _reaching_past(subject, found), subject.collection.zone_info)


def _effective(mentions: QuerySet[Mention]) -> QuerySet[Mention]:
    later = Event.objects.filter(
        collection=OuterRef("entry__collection"), corrects=OuterRef("entry__sequence")
    )
    return (
        mentions.filter(~Exists(later))
        .select_related("entry__subject")
        .order_by("-placed_us", "-entry__sequence")
    )


def _reaching_past(subject: Subject, found: list[Event]) -> list[Line]:
    """Older entries of a chain whose date may reach past the oldest day shown."""
    days = [event.earliest for event in found if event.kind in CHAINED and event.earliest]
    reach = Q(entry__happened="") | Q(entry__latest__isnull=True)
    if days:
        reach |= Q(entry__latest__gte=max(days) - timedelta(days=1))
    older = _effective(Mention.objects.filter(reach, subject=subject, entry__kind__in=CHAINED))
    shown = {event.sequence for event in found}
    entries = {m.entry.sequence: m.entry for m in older if m.entry.sequence not in shown}
    return [Line(event) for event in entries.values()]


def with_struck(found: list[Event]) -> list[Line]:
    """Effective entries as lines, with what each struck and who recorded it."""
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
    who = member_names(found[0].collection_id) if found else {}
    why = reasons(found)
    return [
        Line(
            event,
            _line_below(event, older),
            who.get(event.recorded_by, event.recorded_by),
            taken_out=why.get(event.sequence),
        )
        for event in found
    ]


def _line_below(event: Event, older: dict[int, Event]) -> tuple[Event, ...]:
    struck: list[Event] = []
    while event.corrects is not None and event.corrects in older:
        event = older[event.corrects]
        struck.append(event)
    return tuple(reversed(struck))


def book_page(
    collection: Collection,
    *,
    below: int | None = None,
    kind: str = "",
    subject: str = "",
    limit: int = PAGE,
) -> list[BookLine]:
    """A page of the whole book, newest entry first; keyset by entry number; 2 queries."""
    corrector = Event.objects.filter(
        collection=OuterRef("collection"), corrects=OuterRef("sequence")
    )
    rows = events(collection).annotate(corrected_by=Subquery(corrector.values("sequence")[:1]))
    if kind:
        rows = rows.filter(kind=kind)
    if subject:
        named = Mention.objects.filter(subject__collection=collection, subject__code=subject)
        rows = rows.filter(pk__in=named.values("entry"))
    if below is not None:
        rows = rows.filter(sequence__lt=below)
    who, found = member_names(collection), list(rows.order_by("-sequence")[:limit])
    why = reasons(found)
    return [
        BookLine(
            event,
            who=who.get(event.recorded_by, event.recorded_by),
            corrected_by=event.corrected_by,
            taken_out=why.get(event.sequence),
        )
        for event in found
    ]


def correction_line(event: Event) -> list[Event]:
    """Every entry of an entry's correction line, oldest first; 2 queries at most."""
    rows = events(event.collection).filter(subject=event.subject, corrects__isnull=False)
    corrector = {one.corrects: one for one in rows}
    by_number = {one.sequence: one for one in corrector.values()} | {event.sequence: event}
    first = event
    while first.corrects is not None:
        first = by_number.get(first.corrects) or events(event.collection).get(
            sequence=first.corrects
        )
    line = [first]
    while line[-1].sequence in corrector:
        line.append(corrector[line[-1].sequence])
    return line


def open_questions(collection: Collection) -> list[Line]:
    """Entries that opened a Question nobody has answered, newest first; 2 queries."""
    asked = events(collection).filter(kind="asked", subject__state__condition="open")
    rows = asked.filter(~superseded()).order_by("-sequence")
    return with_struck(list(rows))


def question(collection: Collection, code: str) -> Event | None:
    """The entry that asked a Question, as it stands now; None when there is none."""
    asked = events(collection).filter(kind="asked", subject__code=code)
    return asked.filter(~superseded()).order_by("sequence").first()


def told(entries: list[Event]) -> list[Line]:
    """Entries one by one, with who recorded each; 1 query."""
    who, why = member_names(entries[0].collection_id) if entries else {}, reasons(entries)
    return [
        Line(one, who=who.get(one.recorded_by, one.recorded_by), taken_out=why.get(one.sequence))
        for one in entries
    ]


def last_said(event: Event) -> Event:
    """The entry, or what it took back when it is a withdrawal."""
    line = [one for one in correction_line(event) if one.sequence <= event.sequence]
    return next((one for one in reversed(line) if one.kind != "withdrawn"), event)


def named_in(event: Event) -> list[Mention]:
    """What an entry names, the subject first."""
    rows = Mention.objects.filter(entry=event).select_related("subject")
    return sorted(rows, key=lambda one: (one.role != "subject", one.role))


def answers_to(event: Event) -> list[Event]:
    """Entries that answer this one."""
    return list(events(event.collection).filter(answers=event.sequence).order_by("sequence"))


def questions_about(subject: Subject) -> list[Event]:
    """Entries that opened a Question about a thing and are still open."""
    asked = Event.objects.filter(
        kind="asked", mentions__subject=subject, mentions__role="about"
    ).select_related("subject__state")
    return [event for event in asked if event.subject.state.condition == "open"]


def asked_about(subject: Subject) -> set[str]:
    """Every question that was ever asked about a thing, whatever came of it."""
    asked = Event.objects.filter(kind="asked", mentions__subject=subject, mentions__role="about")
    return {facts["question"] for facts in asked.values_list("facts", flat=True)}


def questions_of(event: Event) -> list[Event]:
    """Questions that an entry opened when it was written."""
    asked = Event.objects.filter(collection=event.collection_id, kind="asked", act=event.act)
    return [one for one in asked.order_by("sequence") if one.facts["entry"] == event.sequence]

"""What the book said of many things at the end of a day: custody, title, standing, value.

Only the entries that can change those are read, so a list asks as much for a thousand things as
for one. As the book knows it today, or as it was known on a day: entries recorded later then
count for nothing, nor do corrections recorded later.
"""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from datetime import datetime, tzinfo

from collection.core.chronology import placed_us
from collection.core.entry import Entry, Placed, to_us
from collection.core.events import facts_of
from collection.core.events.valued import Valued
from collection.core.fold import apply
from collection.core.state import State
from collection.ledger.models import Event, Mention
from registry.access.models import Collection

# Kinds that change where a thing is, who has it, whose it is, whether it is there, or its value.
CHAINS = (
    "acquired", "arrived", "back_from_repair", "cleared", "disposed", "hired_back", "hired_in",
    "lent", "moved", "not_found", "recovered", "returned", "sent_to_repair", "shipped", "sighted",
    "sold", "stolen", "stripped_for_parts", "title_changed", "valued",
)  # fmt: skip
COLUMNS = (
    "subject_id", "placed_us", "entry__sequence", "entry__kind", "entry__subject__code",
    "entry__facts", "entry__facts_version", "entry__names", "entry__happened",
    "entry__recorded_at", "entry__recorded_by", "entry__source", "entry__certainty",
    "entry__corrects",
)  # fmt: skip


@dataclass(frozen=True)
class Moment:
    """The end of what counts: happened until `until`; recorded before `known`, None for all."""

    until: datetime
    zone: tzinfo
    known: datetime | None = None


@dataclass(frozen=True)
class Then:
    """A thing's state then, and its last valuation until then."""

    state: State = field(default_factory=State)
    value: Valued | None = None
    valued_on: str = ""


@dataclass(frozen=True)
class Lines:
    """Correction lines: what each entry corrects, and when it and its line began."""

    struck: frozenset[int]
    corrects: Mapping[int, int]
    recorded: Mapping[int, datetime]

    def first(self, number: int) -> int:
        """The first entry of a line."""
        while number in self.corrects:
            number = self.corrects[number]
        return number


def lines_of(collection: Collection, moment: Moment) -> Lines:
    """Every correction known at a moment; two queries, since corrections are few."""
    found = Event.objects.of(collection).filter(corrects__isnull=False)
    if moment.known is not None:
        found = found.filter(recorded_at__lt=moment.known)
    corrects = dict(found.values_list("sequence", "corrects"))
    begun = set(corrects.values()) - corrects.keys()
    rows = Event.objects.of(collection).filter(sequence__in=begun)
    recorded = dict(rows.values_list("sequence", "recorded_at"))
    return Lines(frozenset(corrects.values()), corrects, recorded)


def states_at(
    collection: Collection, codes: Mapping[int, str], *, moment: Moment, lines: Lines
) -> dict[int, Then]:
    """The things of these keys then; one query, and those without an entry until then are absent.

    `codes`: code by key of the subject.
    """
    rows = Mention.objects.filter(subject__in=codes, entry__kind__in=CHAINS)
    if moment.known is None:
        rows = rows.filter(placed_us__lte=to_us(moment.until))
    else:
        rows = rows.filter(entry__recorded_at__lt=moment.known)
    found: dict[int, Then] = {}
    for subject, placed in _in_order(rows.values_list(*COLUMNS), moment, lines):
        then = found.get(subject, Then())
        found[subject] = _after(then, placed, codes[subject], moment.zone)
    return found


def _after(then: Then, placed: Placed, code: str, zone: tzinfo) -> Then:
    entry = placed.entry
    if entry.kind == "valued" and entry.subject == code:
        facts = facts_of(entry.kind, entry.facts, entry.facts_version)
        assert isinstance(facts, Valued)
        return replace(then, value=facts, valued_on=placed.day(zone))
    return replace(then, state=apply(then.state, placed, code, zone))


def _in_order(rows: Iterable[tuple], moment: Moment, lines: Lines) -> Iterator[tuple[int, Placed]]:
    """Effective entries of each subject, in order of happening, as far as the moment."""
    until = to_us(moment.until)
    found: dict[tuple[int, int], Placed] = {}
    for subject, at_us, *row in rows:
        number = row[0]
        if number not in lines.struck and (subject, number) not in found:
            placed = _placed(row, at_us, moment, lines)
            if placed.placed_us <= until:
                found[subject, number] = placed
    order = sorted(found.items(), key=lambda one: (one[1].placed_us, one[1].first_number))
    return ((subject, placed) for (subject, _), placed in order)


def _placed(row: list, at_us: int, moment: Moment, lines: Lines) -> Placed:
    number, kind, subject, facts, version, names, happened, recorded, by, source, sure, fixes = row
    entry = Entry(
        number=number, kind=kind, subject=subject, facts=facts, happened=happened,
        recorded_at=recorded, recorded_by=by, source=source, certainty=sure, names=names,
        corrects=fixes, facts_version=version,
    )  # fmt: skip
    first = lines.first(number)
    if moment.known is not None:
        # A correction recorded later moved its whole line; then it stood where it said itself.
        begun = lines.recorded.get(first, recorded)
        at_us = placed_us(happened, recorded_at=begun, zone=moment.zone)
    return Placed(entry, first, at_us)

"""Writing slips, sets and what becomes of their mates."""

import re
from collections import Counter
from collections.abc import Sequence
from decimal import Decimal

from django.db import transaction

from collection.core.events.asked import Asked
from collection.core.events.matched import Matched
from collection.core.events.parted import Parted
from collection.core.events.slip_noted import SlipNoted
from collection.ledger.actions import open_book
from collection.ledger.book import Book
from collection.ledger.codes import PREFIXES
from collection.ledger.errors import LedgerError
from collection.ledger.models import Subject
from collection.ledger.telling import Telling
from collection.stock.matching.models import MatchRule
from collection.stock.matching.proposal import Proposed
from collection.stock.matching.queries import Group
from collection.stock.models import Lot, Part
from registry import clock
from registry.access.models import Collection, Membership


def note_slip(
    *,
    collection: Collection,
    by: Membership,
    lot: Lot,
    slip: SlipNoted,
    tube: Part | None = None,
    code: str = "",
    telling: Telling | None = None,
) -> Part:
    """What a tester said of one loose tube; a tube without a code gets the next of its lot."""
    telling = telling or _today(collection)
    with open_book(collection, by) as book:
        if before := book.sent_before(telling.once):
            return Part.objects.of(collection).get(subject=before.subject)
        new = tube is None
        tube = tube or _a_tube(book, lot, code)
        book.append(slip, tube.code, telling)
        if new:
            _ask_for_units(book, lot, f"tested:{slip.grade}", tube)
    return tube


def make_sets(
    *,
    collection: Collection,
    by: Membership,
    group: Group,
    sets: Sequence[Proposed],
    rule: MatchRule,
    telling: Telling | None = None,
) -> list[Part]:
    """Loose tubes become sets with the next codes of their lot, in one act."""
    telling = telling or _today(collection)
    with open_book(collection, by) as book:
        if before := book.sent_before(telling.once):
            made = Subject.objects.of(collection).filter(entries__act=before.act, kind="part")
            rows = Part.objects.of(collection).filter(subject__in=made, units__gte=2)
            return list(rows.distinct())
        return [_a_set(book, group, one, rule, _once_for(telling, n)) for n, one in enumerate(sets)]


def part_set(
    *,
    collection: Collection,
    by: Membership,
    part: Part,
    tubes: Sequence[Part] = (),
    unnamed: int = 0,
    grade: str = "show",
    hours: str = "",
    because: str = "",
    telling: Telling | None = None,
) -> list[Part]:
    """Mates of a set live on: `tubes` with codes, or so many `unnamed` that get codes now.

    Without `hours` they bring those that the set had.
    """
    telling = telling or _today(collection)
    with open_book(collection, by) as book:
        if before := book.sent_before(telling.once):
            return list(Part.objects.of(collection).filter(code__in=before.facts["tubes"]))
        source = _counted_in(book, part)
        kept = [*tubes, *(_a_tube(book, part.lot) for _ in range(unnamed))]
        facts = Parted(
            lot=part.lot.code,
            tubes=tuple(tube.code for tube in kept),
            source=source,
            grade=grade,
            hours=hours or book.state(part.code).hours_before,
            lost=0 if source == "dead" else part.units - len(kept),
            because=because,
        )
        book.append(facts, part.code, telling)
    return kept


@transaction.atomic
def choose_tolerances(
    *,
    collection: Collection,
    by: Membership,
    current_percent: Decimal,
    gm_percent: Decimal,
    basis: str,
) -> MatchRule:
    """How far apart tubes of a set may be from now on, and what that rests on."""
    rule, _ = MatchRule.objects.update_or_create(
        collection=collection,
        defaults={
            "current_percent": current_percent, "gm_percent": gm_percent, "basis": basis,
            "chosen_by": by.code, "chosen_at": clock.now(),
        },
    )  # fmt: skip
    return rule


def next_code(collection: Collection, lot: Lot) -> str:
    """The next code for a set of a lot: the prefix its sets have, as wide as the widest of them."""
    sets = Part.objects.of(collection).filter(lot=lot, units__gte=2).values_list("code", flat=True)
    found = [match for code in sets if (match := re.fullmatch(r"([A-Z][A-Z0-9]*)-(\d+)", code))]
    prefixes = Counter(match[1] for match in found)
    prefix = prefixes.most_common(1)[0][0] if prefixes else PREFIXES["part"]
    return _following(collection, prefix, wide=2 if prefixes else 3)


# -- small change ----------------------------------------------------------------------------
def _today(collection: Collection) -> Telling:
    return Telling(happened=clock.today(collection.zone_info).isoformat())


def _once_for(telling: Telling, number: int) -> Telling:
    """The press's own token goes with the first entry of the act only."""
    once = telling.once if number == 0 else None
    return Telling(
        telling.happened, telling.source, telling.source_note, telling.certainty,
        telling.words if number == 0 else "", once=once,
    )  # fmt: skip


def _following(collection: Collection, prefix: str, *, wide: int) -> str:
    codes = Subject.objects.of(collection).filter(code__startswith=f"{prefix}-")
    numbers = [
        match[1]
        for code in codes.values_list("code", flat=True)
        if (match := re.fullmatch(rf"{re.escape(prefix)}-(\d+)", code))
    ]
    wide = max([wide, *map(len, numbers)])
    return f"{prefix}-{max(map(int, numbers), default=0) + 1:0{wide}d}"


def _a_tube(book: Book, lot: Lot, code: str = "") -> Part:
    """A single tube of a lot with a code of its own: the lot's and a number."""
    code = code or _following(book.collection, lot.code, wide=2)
    return _a_part(book, lot, code, units=1)


def _a_part(book: Book, lot: Lot, code: str, *, units: int) -> Part:
    subject = book.new_subject("part", code)
    return Part.objects.create(
        subject=subject,
        collection=book.collection,
        code=subject.code,
        type=lot.type,
        lot=lot,
        units=units,
        marking=lot.marking,
    )


def _ask_for_units(book: Book, lot: Lot, bucket: str, tube: Part) -> None:
    """A Question when more tubes of a bucket have codes than the lot counts in it."""
    rows = Part.objects.of(book.collection).filter(lot=lot).exclude(pk=tube.pk)
    states = [(one, book.state(one.code)) for one in rows]
    coded = 1 + sum(
        one.units for one, state in states
        if state.grade == bucket and not state.fitted_in and not state.set_of
    )  # fmt: skip
    counted = book.state(lot.code).count(bucket)
    if coded > counted:
        question = f"{coded} tubes of {lot.code} have codes as {bucket}, the lot counts {counted}."
        subject = book.new_subject("question")
        asked = Asked(question=question, about=tube.code)
        book.append(asked, subject.code, Telling(source="inferred"))


def _a_set(book: Book, group: Group, one: Proposed, rule: MatchRule, telling: Telling) -> Part:
    buckets = Counter(tube.bucket for tube in one.tubes)
    tested = f"tested:{group.grade}"
    bucket = tested if set(buckets) == {tested} else f"pulled:{group.grade}"
    made = _a_part(book, group.lot, next_code(book.collection, group.lot), units=len(one.tubes))
    facts = Matched(
        lot=group.lot.code,
        bucket=bucket,
        readings=tuple((tube.part.code, *(tube.read or ("", ""))) for tube in one.tubes),
        conditions=group.conditions,
        current_spread=str(one.current_spread),
        gm_spread=str(one.gm_spread),
        current_tolerance=str(rule.current_percent),
        gm_tolerance=str(rule.gm_percent),
        moves=tuple((source, n) for source, n in sorted(buckets.items()) if source != bucket),
        hours_before=max((tube.state.hours_before for tube in one.tubes), key=Decimal),
    )
    book.append(facts, made.code, telling)
    return made


def _counted_in(book: Book, part: Part) -> str:
    """The bucket in which a set's lot counts it; raises LedgerError for one that is in use."""
    state = book.state(part.code)
    if state.fitted_in:
        raise LedgerError(f"{part.code} sits in {state.fitted_in}; take it out first.")
    if state.grade == "dead":
        return "dead"
    if state.grade in (None, "apart"):
        raise LedgerError(f"{part.code} is no set any more.")
    return state.grade if ":" in state.grade else f"pulled:{state.grade}"

"""Writing cases: what belongs in one, and packing it in one act."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import datetime

from collection.catalogue.actions import describe
from collection.catalogue.queries import pieces as pieces_of
from collection.core.chronology import exact_instant
from collection.core.events.moved import Moved
from collection.core.events.noted import Noted
from collection.core.events.sighted import Sighted
from collection.custody.cases.goes_with import goes_with_check, without
from collection.custody.cases.models import CaseSheet, KitLine
from collection.custody.models import Place
from collection.ledger.actions import as_told, open_book
from collection.ledger.models import Event
from collection.ledger.telling import Telling
from registry.access.models import Membership

PACKING = "packing"


@dataclass(frozen=True)
class Packed:
    """What was ticked at a case: codes of pieces, what goes with them, kit as counted."""

    pieces: tuple[str, ...]
    goes_with: tuple[str, ...] = ()
    kit: Mapping[str, int] | None = None  # thing → how many were counted


def pack(*, case: Place, by: Membership, packed: Packed, telling: Telling | None = None) -> Event:
    """Put what was ticked into a case and write the kit as counted; one act, never refused.

    What was in it already is seen there; the rest is moved. A case that was not found is found by
    whoever packs it. The note on the case comes first and
    carries the press, so that a second one writes nothing.
    """
    with open_book(case.collection, by) as book:
        told = as_told(book, telling)
        if before := book.sent_before(told.once):
            return before
        rows = {row.code: row for row in pieces_of(case.collection).filter(code__in=packed.pieces)}
        at = exact_instant(told.happened, case.collection.zone_info) or book.now
        kit = _count_kit(case, by, packed.kit or {}, at)
        note = book.append(
            Noted(about=PACKING), case.code, replace(told, words=_words(packed, kit, told.words))
        )
        within = _within(case)
        if book.state(case.code).standing == "not_found":
            book.append(Sighted(), case.code, replace(told, words="", once=None))
        for code in dict.fromkeys(packed.pieces):
            said = without(goes_with_check(rows[code]), packed.goes_with)
            at = book.state(code).place
            facts = Sighted(at=at) if at in within else Moved(to=case.code)
            book.append(facts, code, replace(told, words=said, once=None))
        return note


def _within(case: Place) -> set[str]:
    """Codes of the case and of what is in it: a drawer, a pouch, a smaller case."""
    marked = f"/{case.code}/"
    found = Place.objects.of(case.collection).filter(path__contains=marked)
    return set(found.values_list("code", flat=True))


def _count_kit(
    case: Place, by: Membership, counted: Mapping[str, int], at: datetime
) -> list[KitLine]:
    lines = [line for line in KitLine.objects.filter(place=case) if line.what in counted]
    for line in lines:
        line.there = counted[line.what]
        if line.counted_at and line.counted_at > at:
            continue  # told late: somebody has counted since, and the words keep this one
        line.counted_at, line.counted_by = at, by.code
        line.save(update_fields=["there", "counted_at", "counted_by"])
    return lines


def _words(packed: Packed, kit: list[KitLine], said: str) -> str:
    count = len(dict.fromkeys(packed.pieces))
    sentences = [f"Packed: {count} piece{'' if count == 1 else 's'}."]
    if kit:
        sentences.append(f"Kit: {'; '.join(_kit_words(line) for line in kit)}.")
    return " ".join([*sentences, *([said] if said else [])])


def _kit_words(line: KitLine) -> str:
    if line.there == line.due:
        return f"{line.due} {line.what}"
    return f"{line.there} of {line.due} {line.what}"


def set_packing_list(
    *,
    case: Place,
    by: Membership,
    pieces: Iterable[str],
    kit: Iterable[tuple[int, str]],
    **sheet: int | str | None,
) -> None:
    """Say what belongs in a case; `sheet`: tare_grams, size. Counts of kit that stays are kept."""
    wanted = set(pieces)
    with open_book(case.collection, by):
        CaseSheet.objects.update_or_create(place=case, defaults=sheet)
        rows = pieces_of(case.collection)
        for piece in rows.filter(usual_place=case.pk).exclude(code__in=wanted):
            describe(piece=piece, by=by, changes={"usual_place": None})
        for piece in rows.filter(code__in=wanted):
            describe(piece=piece, by=by, changes={"usual_place": case.subject})
        lines = list(kit)
        KitLine.objects.filter(place=case).exclude(what__in=[what for _, what in lines]).delete()
        for order, (due, what) in enumerate(lines):
            KitLine.objects.update_or_create(
                place=case, what=what, defaults={"due": due, "order": order}
            )

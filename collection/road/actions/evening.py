"""Writing the evening: presses before and during a show, and what was played."""

from collections.abc import Iterable, Mapping
from dataclasses import replace
from datetime import datetime

from django.db import transaction

from collection.bench import actions as bench
from collection.bench.models import Fault
from collection.catalogue.models import Piece
from collection.core.entry import UNKNOWN_US, from_us
from collection.core.events.died import Died as DiedOnStage
from collection.core.events.noted import Noted
from collection.core.events.played import Played
from collection.custody import actions as custody
from collection.ledger.actions import open_book
from collection.ledger.errors import LedgerError
from collection.ledger.models import Event
from collection.ledger.telling import Telling
from collection.road.actions import sessions
from collection.road.models import (
    Died,
    RigPosition,
    Show,
)
from collection.road.needs import show_today
from collection.road.overrides.queries import apply
from registry import clock
from registry.access.models import Collection, Membership

STRINGS = "strings"
WENT_SILENT = "went silent on stage"
COUNTED_CLEAN = frozenset({"fixed", "not-reproduced"})  # faults that count shows they stay away


def it_died(
    *,
    collection: Collection,
    by: Membership,
    show: Show,
    position: RigPosition,
    played: str = "",
    telling: Telling | None = None,
) -> Died:
    """A position went silent: `died` and `faulted` are written and the outage clock starts.

    `played`: code of what played there as the page said; the plan may be another by the time a
    press that waited is sent. Pressed again before sound is back, it is the same death.
    """
    code = _playing(show, position, played)
    telling = telling or Telling()
    if not telling.happened:
        telling = replace(telling, happened=today_of(collection))
    with open_book(collection, by) as book:
        silent = Died.objects.filter(show=show, position=position, sound_back_at=None).first()
        if silent:
            return silent
        facts = DiedOnStage(show=show.code, position=str(position))
        event = book.append(facts, code, telling)
        if event.act != book.act:
            return Died.objects.get(show=show, entry=event.sequence)
        _open_fault(
            collection=collection,
            by=by,
            code=code,
            symptom=WENT_SILENT,
            telling=telling,
        )
        at = _died_at(event, telling, book.now)
        return Died.objects.create(position=position, show=show, at=at, entry=event.sequence)


def _died_at(event: Event, telling: Telling, now: datetime) -> datetime:
    """When it was pressed: a press that waited for seconds is told by its phone all the same."""
    if telling.written_at:
        return min(telling.written_at, now)
    return now if event.placed_us == UNKNOWN_US else from_us(event.placed_us)


def _playing(show: Show, position: RigPosition, played: str) -> str:
    if played and Piece.objects.of(show.collection).filter(code=played).exists():
        return played
    apply([position], show)
    if position.piece is None:
        raise LedgerError(f"Position {position} has no piece that could die.")
    return position.piece.code


def note_show(*, by: Membership, show: Show, telling: Telling) -> Event:
    """One line about a show, in somebody's words."""
    told = replace(telling, happened=telling.happened or today_of(show.collection))
    with open_book(show.collection, by) as book:
        return book.append(Noted(), show.code, told)


def strings_on(
    *, collection: Collection, by: Membership, piece: Piece, telling: Telling | None = None
) -> Event:
    """New strings are on a piece."""
    return bench.serve(
        collection=collection,
        by=by,
        code=piece.code,
        what=STRINGS,
        telling=_dated(collection, telling),
    )


def checked(
    *,
    collection: Collection,
    by: Membership,
    position: RigPosition,
    what: str,
    telling: Telling | None = None,
) -> Event:
    """A check of the rig plan was done, on the piece that plays there."""
    return bench.serve(
        collection=collection,
        by=by,
        code=position.piece.code,
        what=what,
        telling=_dated(collection, telling),
    )


def did_it_again(
    *, collection: Collection, by: Membership, fault: Fault, telling: Telling | None = None
) -> Fault:
    """A known fault showed itself again; it stays as intermittent as it was."""
    state = getattr(fault.subject, "state", None)
    return bench.fault(
        collection=collection,
        by=by,
        code=fault.piece.code,
        fault=fault,
        intermittent=state is not None and state.condition != "open",
        telling=_dated(collection, telling),
    )


def seen_here(
    *,
    collection: Collection,
    by: Membership,
    piece: Piece,
    now: datetime,
    telling: Telling | None = None,
) -> Event:
    """A piece was seen where the tour was then, or else where the book says it is."""
    told = _dated(collection, telling)
    show = show_today(collection, now=told.written_at or now)
    at = show.venue.code if show else ""
    return custody.sight(collection=collection, by=by, code=piece.code, at=at, telling=told)


@transaction.atomic
def sound_back(*, died: Died, at: datetime | None = None) -> Died:
    """Sound is back: the outage clock stops, once, whoever else presses at the same moment."""
    kept = Died.objects.select_for_update().get(pk=died.pk)
    if kept.sound_back_at is None:
        kept.sound_back_at = max(at or clock.now(), kept.at)
        kept.save(update_fields=["sound_back_at"])
    died.sound_back_at = kept.sound_back_at
    return died


def log_show(
    *,
    collection: Collection,
    by: Membership,
    show: Show,
    pieces: Iterable[str],
    troubled: Mapping[str, str] | Iterable[str] = (),
    heater_hours: str = "",
    ht_hours: str = "",
    faults: Iterable[str] | None = None,
    left_on: Iterable[str] = (),
    left_on_hours: str = "",
    telling: Telling | None = None,
) -> Event:
    """Log what was played: `pieces` without trouble, `troubled` with, codes of both.

    `troubled` may give each code its symptom; a symptom opens a fault. `faults` are settled
    faults that stayed away; without any given, those of the clean pieces.
    """
    telling = telling or Telling()
    if not telling.happened:
        telling = replace(telling, happened=show.ended_as_text(now=clock.now()))
    symptoms = troubled if isinstance(troubled, Mapping) else dict.fromkeys(troubled, "")
    clean = tuple(code for code in dict.fromkeys(pieces) if code not in symptoms)
    with open_book(collection, by) as book:
        away = _stayed_away(collection, clean) if faults is None else tuple(faults)
        facts = Played(
            pieces=clean,
            troubled=tuple(symptoms),
            heater_hours=heater_hours,
            ht_hours=ht_hours,
            faults=away,
        )
        event = book.append(facts, show.code, telling)
        if event.act == book.act and left_on:
            burned = {"pieces": left_on, "hours": left_on_hours}
            sessions.left_on(collection=collection, by=by, telling=_beside(telling), **burned)
        if event.act == book.act:
            for code, symptom in symptoms.items():
                if symptom:
                    _open_fault(
                        collection=collection, by=by, code=code, symptom=symptom, telling=telling
                    )
        return event


def today_of(collection: Collection) -> str:
    """Today stands where it was recorded; a time in whole seconds could stand before that."""
    return clock.today(collection.zone_info).isoformat()


def _dated(collection: Collection, telling: Telling | None) -> Telling:
    telling = telling or Telling()
    return replace(telling, happened=telling.happened or today_of(collection))


def _beside(telling: Telling) -> Telling:
    """The same telling for another entry of the act: words and press belong to one."""
    return replace(telling, once=None, words="")


def _open_fault(
    *, collection: Collection, by: Membership, code: str, symptom: str, telling: Telling
) -> Fault:
    """The same symptom of the same piece is the same fault, back again."""
    known = Fault.objects.of(collection).filter(piece__code=code, symptom=symptom).first()
    return bench.fault(
        collection=collection,
        by=by,
        code=code,
        symptom=symptom,
        when_hot="hot",
        fault=known,
        telling=_beside(telling),
    )


def _stayed_away(collection: Collection, clean: tuple[str, ...]) -> tuple[str, ...]:
    found = Fault.objects.of(collection).filter(
        piece__code__in=clean, subject__state__condition__in=COUNTED_CLEAN
    )
    return tuple(found.order_by("code").values_list("code", flat=True))

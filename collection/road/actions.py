"""Writing the road: tours, shows, the rig plan, what travels, who died and what was played."""

from collections.abc import Iterable, Mapping
from dataclasses import replace
from datetime import datetime
from typing import Any

from django.db import transaction
from django.utils import timezone

from collection.bench import actions as bench
from collection.bench.models import Fault
from collection.catalogue.models import Piece
from collection.core.entry import UNKNOWN_US, from_us
from collection.core.events.died import Died as DiedOnStage
from collection.core.events.noted import Noted
from collection.core.events.played import Played
from collection.custody import actions as custody
from collection.custody.models import Place
from collection.ledger.actions import open_book
from collection.ledger.codes import following
from collection.ledger.errors import LedgerError, PlanRefused
from collection.ledger.models import Event
from collection.ledger.telling import Telling
from collection.road import standing
from collection.road.candidates import Known
from collection.road.models import (
    Died,
    OutsideCandidate,
    RigPosition,
    RoadQuote,
    Show,
    Tour,
    TransitFigures,
    Travelling,
)
from collection.road.needs import Asked, show_today
from registry.access.models import Collection, Membership

STRINGS = "strings"
WENT_SILENT = "went silent on stage"
COUNTED_CLEAN = frozenset({"fixed", "not-reproduced"})  # faults that count shows they stay away


@transaction.atomic
def add_tour(
    *,
    collection: Collection,
    by: Membership,
    name: str,
    code: str = "",
    places: Iterable[Place] = (),
    **when: Any,
) -> Tour:
    """A tour from one day to another (`starts_on`, `ends_on`), with its trucks and cases."""
    if not code:
        taken = Tour.objects.of(collection).filter(code__startswith="T-")
        code = following("T", list(taken.values_list("code", flat=True)))
    tour = Tour.objects.create(collection=collection, code=code, name=name, **when)
    tour.places.set(places)
    return tour


@transaction.atomic
def change_tour(*, tour: Tour, places: Iterable[Place], **changes: Any) -> Tour:
    """Change a tour's name, days, carnet, and the trucks and cases that go with it."""
    for name, value in changes.items():
        setattr(tour, name, value)
    tour.save()
    tour.places.set(places)
    return tour


def add_show(
    *,
    collection: Collection,
    by: Membership,
    tour: Tour,
    venue: Place,
    number: int | None = None,
    code: str = "",
    **day_sheet: Any,
) -> Show:
    """A show of a tour at a venue on a day (`on`), with its day sheet in the venue's time."""
    with open_book(collection, by) as book:
        subject = book.new_subject("show", code)
        if number is None:
            number = max(tour.shows.values_list("number", flat=True), default=0) + 1
        return Show.objects.create(
            subject=subject,
            collection=collection,
            code=subject.code,
            tour=tour,
            venue=venue,
            number=number,
            **day_sheet,
        )


@transaction.atomic
def change_day_sheet(*, show: Show, **changes: Any) -> Show:
    """Change a show's day, venue, times or supply."""
    for name, value in changes.items():
        setattr(show, name, value)
    show.save()
    return show


@transaction.atomic
def set_position(
    *,
    tour: Tour,
    number: int,
    name: str,
    piece: Piece | None = None,
    backup: Piece | None = None,
    **planned: Any,
) -> RigPosition:
    """Put a position on the rig plan, or change it; raises PlanRefused with every reason.

    A piece that was planned already is not asked about again: what became of it since is for
    the page of tonight to show.
    """
    before = RigPosition.objects.filter(tour=tour, number=number).first()
    known = {before.piece_id, before.backup_id} if before else set()
    wanted = [one for one in (piece, backup) if one is not None and one.pk not in known]
    _refuse(wanted, same=piece is not None and piece == backup)
    position, _ = RigPosition.objects.update_or_create(
        tour=tour,
        number=number,
        defaults={"name": name, "piece": piece, "backup": backup, **planned},
    )
    return position


def _refuse(wanted: list[Piece], *, same: bool = False) -> None:
    found = standing.reasons_against(wanted)
    if same:
        found = (*found, "A piece cannot stand behind itself.")
    if found:
        raise PlanRefused(found)


@transaction.atomic
def travel(*, tour: Tour, piece: Piece, on_carnet: bool = False) -> Travelling:
    """A piece goes with a tour, on the carnet's list or not."""
    return Travelling.objects.update_or_create(
        tour=tour, piece=piece, defaults={"on_carnet": on_carnet}
    )[0]


@transaction.atomic
def stay_home(*, tour: Tour, piece: Piece) -> None:
    """A piece goes with a tour no longer."""
    Travelling.objects.filter(tour=tour, piece=piece).delete()


def it_died(
    *,
    collection: Collection,
    by: Membership,
    show: Show,
    position: RigPosition,
    telling: Telling | None = None,
) -> Died:
    """A position went silent: `died` and `faulted` are written and the outage clock starts.

    Pressed again before sound is back, it is the same death.
    """
    if position.piece is None:
        raise LedgerError(f"Position {position} has no piece that could die.")
    telling = telling or Telling()
    if not telling.happened:
        telling = replace(telling, happened=_today(collection))
    with open_book(collection, by) as book:
        silent = Died.objects.filter(show=show, position=position, sound_back_at=None).first()
        if silent:
            return silent
        facts = DiedOnStage(show=show.code, position=str(position))
        event = book.append(facts, position.piece.code, telling)
        if event.act != book.act:
            return Died.objects.get(show=show, entry=event.sequence)
        _open_fault(
            collection=collection,
            by=by,
            code=position.piece.code,
            symptom=WENT_SILENT,
            telling=telling,
        )
        at = book.now if event.placed_us == UNKNOWN_US else from_us(event.placed_us)
        return Died.objects.create(position=position, show=show, at=at, entry=event.sequence)


def note_show(*, by: Membership, show: Show, telling: Telling) -> Event:
    """One line about a show, in somebody's words."""
    told = replace(telling, happened=telling.happened or _today(show.collection))
    with open_book(show.collection, by) as book:
        return book.append(Noted(), show.code, told)


def _dated(collection: Collection, telling: Telling | None) -> Telling:
    telling = telling or Telling()
    return replace(telling, happened=telling.happened or _today(collection))


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
    """A piece was seen where the tour is today, or else where the book says it is."""
    show = show_today(collection, now=now)
    at = show.venue.code if show else ""
    told = _dated(collection, telling)
    return custody.sight(collection=collection, by=by, code=piece.code, at=at, telling=told)


@transaction.atomic
def carry_beside(*, position: RigPosition) -> RigPosition:
    """The backup stands at the side of the stage now."""
    position.stands = "side"
    position.save(update_fields=["stands"])
    return position


def _today(collection: Collection) -> str:
    """Today stands where it was recorded; a time in whole seconds could stand before that."""
    return timezone.localdate(timezone=collection.zone_info).isoformat()


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
        telling=replace(telling, once=None, words=""),
    )


@transaction.atomic
def sound_back(*, died: Died, at: datetime | None = None) -> Died:
    """Sound is back: the outage clock stops, once."""
    if died.sound_back_at is None:
        died.sound_back_at = max(at or timezone.now(), died.at)
        died.save(update_fields=["sound_back_at"])
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
    telling: Telling | None = None,
) -> Event:
    """Log what was played: `pieces` without trouble, `troubled` with, codes of both.

    `troubled` may give each code its symptom; a symptom opens a fault. `faults` are settled
    faults that stayed away; without any given, those of the clean pieces.
    """
    telling = telling or Telling()
    if not telling.happened:
        telling = replace(telling, happened=show.ended_as_text(now=timezone.now()))
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
        if event.act == book.act:
            for code, symptom in symptoms.items():
                if symptom:
                    _open_fault(
                        collection=collection, by=by, code=code, symptom=symptom, telling=telling
                    )
        return event


def _stayed_away(collection: Collection, clean: tuple[str, ...]) -> tuple[str, ...]:
    found = Fault.objects.of(collection).filter(
        piece__code__in=clean, subject__state__condition__in=COUNTED_CLEAN
    )
    return tuple(found.order_by("code").values_list("code", flat=True))


@transaction.atomic
def add_quote(
    *,
    collection: Collection,
    by: Membership,
    to: Place,
    piece: Piece | None = None,
    outside: OutsideCandidate | None = None,
    **said: Any,
) -> RoadQuote:
    """A departure and arrival somebody gave by telephone, for a piece or for what others hold.

    `said`: what (a leg of the way), leaves_at, arrives_at, basis, and if known cost, told_by,
    authorised_by.
    """
    return RoadQuote.objects.create(
        collection=collection, piece=piece, outside=outside, to=to, noted_by=by.code, **said
    )


def choose_backup(
    *,
    collection: Collection,
    by: Membership,
    asked: Asked,
    known: Known,
    order: str,
    authorised_by: str,
    telling: Telling | None = None,
) -> Event:
    """Settle on a backup: the book notes the order and who authorised it, the plan takes it.

    For what somebody outside holds the note stands with the piece it stands in for.
    """
    own = known.as_quoted.get("piece")
    _refuse([own] if own else [])
    telling = telling or Telling()
    words = " ".join(filter(None, (f"{order}. Authorised by {authorised_by}.", telling.words)))
    position = asked.position
    about = f"backup of position {position}" if position else f"backup of {asked.piece.code}"
    with open_book(collection, by) as book:
        if own and position is not None:
            position.backup, position.stands = own, known.candidate.stands
            position.save(update_fields=["backup", "stands"])
        told = replace(telling, words=words, happened=telling.happened or _today(collection))
        return book.append(Noted(about=about), (own or asked.piece).code, told)


@transaction.atomic
def add_outside_candidate(
    *, collection: Collection, name: str, kind: str, at: Place, held_by: str, **known: Any
) -> OutsideCandidate:
    """What somebody outside holds and might lend or hire out, with a telephone."""
    taken = OutsideCandidate.objects.of(collection).filter(code__startswith="OUT-")
    code = following("OUT", list(taken.values_list("code", flat=True)))
    return OutsideCandidate.objects.create(
        collection=collection, code=code, name=name, kind=kind, at=at, held_by=held_by, **known
    )


@transaction.atomic
def set_figures(*, collection: Collection, changed: Mapping[str, float]) -> TransitFigures:
    """Keep the planning figures that differ from their defaults."""
    return TransitFigures.objects.update_or_create(
        collection=collection, defaults={"changed": dict(changed)}
    )[0]

"""What the book says of parts moving and pieces running, in order of happening."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from decimal import Decimal, InvalidOperation

from django.db.models import Q

from collection.core.entry import UNKNOWN_US, from_us
from collection.ledger.models import Event, Mention
from collection.ledger.queries import superseded
from collection.stock.records import At, Fitting, ShowPlayed
from collection.stock.running import Log
from registry.access.models import Collection

MOVES = ("issued", "pulled", "died_in_use", "fitted", "removed", "stripped_for_parts")
PLAYED = "played"


@dataclass(frozen=True)
class Logged:
    """An effective entry in its place: a line stands where its first entry does."""

    at: At
    event: Event


def logged(
    collection: Collection, kinds: Iterable[str], *, naming: Iterable[str] | None = None
) -> list[Logged]:
    """Effective entries of some kinds in order of happening; 2 queries.

    `naming`: only those that name one of these codes.
    """
    kinds = tuple(kinds)
    rows = Event.objects.of(collection).filter(~superseded(), kind__in=kinds)
    if naming is not None:
        named = Mention.objects.filter(
            subject__collection=collection, subject__code__in=list(naming)
        )
        rows = rows.filter(pk__in=named.values("entry"))
    needed = rows.only("sequence", "kind", "facts", "certainty", "placed_us", "subject__code")
    found = list(needed.select_related("subject"))
    first = _first_numbers(collection, kinds)
    told = [Logged((e.placed_us, first(e.sequence)), e) for e in found]
    return sorted(told, key=lambda one: one.at)


def _first_numbers(collection: Collection, kinds: tuple[str, ...]):
    """The number of the first entry of a line, from the number of its last."""
    corrections = Event.objects.of(collection).filter(
        Q(kind__in=kinds) | Q(kind="withdrawn"), corrects__isnull=False
    )
    before = dict(corrections.values_list("sequence", "corrects"))

    def first(number: int) -> int:
        while number in before:
            number = before[number]
        return number

    return first


def log_of(collection: Collection, parts: Iterable[str]) -> Log:
    """How parts moved and what their pieces ran; 5 queries whatever the number of parts."""
    parts = set(parts)
    moves = moves_of(logged(collection, MOVES, naming=parts | _sets_of(collection, parts)))
    pieces = {move.piece for move in moves} - {""}
    return Log.of(moves, runs_of(logged(collection, (PLAYED,), naming=pieces), collection))


def _sets_of(collection: Collection, parts: set[str]) -> set[str]:
    """Sets that some of the parts are left over from."""
    named = Mention.objects.filter(
        role="set", subject__collection=collection, entry__mentions__subject__code__in=parts
    )
    return set(named.values_list("subject__code", flat=True))


def moves_of(told: Iterable[Logged]) -> list[Fitting]:
    """Every part going in or out, a move each; `told` in order of happening."""
    return [move for one in told if one.event.kind in MOVES for move in _moves(one)]


def runs_of(told: Iterable[Logged], collection: Collection) -> list[ShowPlayed]:
    """Every show and session with its hours and pieces."""
    return [_run(one, collection) for one in told if one.event.kind == PLAYED]


def _moves(one: Logged) -> list[Fitting]:
    event, facts = one.event, one.event.facts
    if event.kind == "stripped_for_parts":
        return [Fitting(event.kind, part, event.subject.code, "", None, one.at)
                for part in facts.get("parts", ())]  # fmt: skip
    if not facts.get("part"):
        return []
    at_bench = event.kind in {"fitted", "removed"}
    goes_in = event.kind in {"issued", "fitted"}
    return [
        Fitting(
            kind=event.kind,
            part=facts["part"],
            piece=event.subject.code if at_bench else facts.get("piece", ""),
            position=facts.get("position", ""),
            hours=decimal(facts.get("hours_before" if goes_in else "hours", "")),
            at=one.at,
            heater=decimal(facts.get("heater_before", "")),
            to=facts.get("to", ""),
            mate_of=facts.get("mate_of", ""),
            number=event.sequence,
            certainty=event.certainty,
        )
    ]


def _run(one: Logged, collection: Collection) -> ShowPlayed:
    facts = one.event.facts
    return ShowPlayed(
        at=one.at,
        on=_day(one.event.placed_us, collection),
        heater=decimal(facts.get("heater_hours", "")),
        ht=decimal(facts.get("ht_hours", "")),
        pieces=frozenset((*facts.get("pieces", ()), *facts.get("troubled", ()))),
        session=facts.get("session", ""),
    )


def _day(placed_us: int, collection: Collection) -> date | None:
    if placed_us == UNKNOWN_US:
        return None
    return from_us(placed_us).astimezone(collection.zone_info).date()


def decimal(text: str) -> float | None:
    """Hours from the book's text; None when there are none or they cannot be read."""
    try:
        number = Decimal(text)
    except InvalidOperation:
        return None
    return float(number) if number.is_finite() and number >= 0 else None

"""What has to sound where and by when: from a failed piece or from a position of the plan."""

from dataclasses import dataclass
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

from collection.catalogue.models import Circuit, Piece
from collection.core.backup import Need
from collection.custody.models import Place
from collection.ledger.errors import LedgerError
from collection.road.models import RigPosition, Show, Tour
from collection.road.sites import Atlas
from registry.access.models import Collection

NO_SHOW_HOURS = 24  # ready by this time tomorrow, where no day sheet says better
PIECE = ("design", "circuit", "subject__state", "twin")


class NoNeed(LedgerError):
    """Nothing can be looked for, with a sentence that says what is missing."""


@dataclass(frozen=True)
class Asked:
    """A need with the rows it was made of."""

    need: Need
    piece: Piece
    position: RigPosition | None
    show: Show | None
    tour: Tour | None
    to: Place

    @property
    def zone(self) -> ZoneInfo:
        """The zone of the place where it has to sound."""
        return self.need.at.zone


def tour_on(collection: Collection, *, today: date) -> Tour | None:
    """The tour that is on, the one that began last when there are two."""
    running = Tour.objects.of(collection).filter(starts_on__lte=today, ends_on__gte=today)
    return running.order_by("-starts_on", "-pk").first()


def current_tour(collection: Collection, *, now: datetime) -> Tour | None:
    """The tour that is on, else the next one to begin."""
    today = now.astimezone(collection.zone_info).date()
    on = tour_on(collection, today=today)
    coming = Tour.objects.of(collection).filter(starts_on__gt=today)
    return on or coming.order_by("starts_on", "pk").first()


def positions_of(tour: Tour | None) -> list[RigPosition]:
    """The rig plan of a tour with what its pieces are; one query, none without a tour."""
    if tour is None:
        return []
    both = [f"{role}__{name}" for role in ("piece", "backup") for name in PIECE]
    found = RigPosition.objects.filter(tour=tour).select_related(*both)
    return list(found.select_related("piece__subject__state__place", *both))


def show_for(shows: list[Show], *, now: datetime, by: datetime | None) -> Show | None:
    """The show a backup is for: the one on the day it has to be ready, else the next one.

    A show counts until six in the morning after it, when nobody plays any more.
    """
    if by is not None:
        return next((show for show in shows if _holds(show, by)), None) or _next(shows, by)
    return next((show for show in shows if _holds(show, now)), None) or _next(shows, now)


def _holds(show: Show, moment: datetime) -> bool:
    return (moment.astimezone(show.zone) - timedelta(hours=6)).date() == show.on


def _next(shows: list[Show], moment: datetime) -> Show | None:
    return next((s for s in shows if s.on >= moment.astimezone(s.zone).date()), None)


def show_today(collection: Collection, *, now: datetime) -> Show | None:
    """Last night's show until six in the morning, else the one of the day at the venue."""
    near = now.astimezone(collection.zone_info).date()
    days = [near + timedelta(days=step) for step in (-1, 0, 1)]
    rows = Show.objects.of(collection).filter(on__in=days)
    found = list(rows.select_related("venue", "tour", "collection", "subject__state"))
    begun = next((show for show in found if _holds(show, now)), None)
    return begun or next((s for s in found if s.on == now.astimezone(s.zone).date()), None)


def ready_by(show: Show | None, *, now: datetime) -> datetime:
    """When it has to sound, if nobody says: doors, else going on stage, else at once."""
    if show is None:
        return now + timedelta(hours=NO_SHOW_HOURS)
    times = [show.instant(name) for name in ("doors", "on_stage")]
    return next((at for at in times if at is not None and at > now), now)


def read_by(text: str, zone: ZoneInfo) -> datetime | None:
    """An ISO time as typed, in `zone` when it names none; None when nothing was typed.

    Raises NoNeed when it cannot be read.
    """
    if not text.strip():
        return None
    try:
        moment = datetime.fromisoformat(text.strip())
    except ValueError as error:
        raise NoNeed(f"{text!r} is no time; write it like 2026-11-24T19:00.") from error
    return moment if moment.tzinfo else moment.replace(tzinfo=zone)


def show_asked(atlas: Atlas, tour: Tour | None, by: str) -> tuple[Show | None, datetime | None]:
    """The show that a time as typed is for, and that time on its clock. Raises NoNeed."""
    shows = atlas.shows.get(tour.pk, []) if tour else []
    usual = show_for(shows, now=atlas.at, by=None)
    until = read_by(by, usual.zone if usual else atlas.collection.zone_info)
    return (show_for(shows, now=atlas.at, by=until) if until else usual), until


def asked(
    atlas: Atlas,
    *,
    tour: Tour | None,
    piece: Piece | None = None,
    position: RigPosition | None = None,
    positions: list[RigPosition] = (),
    by: str = "",
) -> Asked:
    """The need of a failed piece or position; one query at most. Raises NoNeed."""
    now = atlas.at
    show, until = show_asked(atlas, tour, by)
    if position is None and piece is not None:
        position = next((p for p in positions if p.piece_id == piece.pk), None)
    failed = piece or (position.piece or position.backup if position else None)
    if failed is None:
        raise NoNeed(f"Position {position} has no piece; put one on the rig plan first.")
    to, at = _where(atlas, show, failed)
    need = Need(
        at=at,
        ready_by=until or ready_by(show, now=now),
        now=now,
        **of_piece(failed, position),
        **(_of_position(position) if position else {}),
        mains_volts=show.mains_volts if show else None,
        mains_hz=show.mains_hz if show else None,
    )
    return Asked(need, failed, position, show, tour, to)


def _where(atlas: Atlas, show: Show | None, piece: Piece):
    if show is not None:
        if site := atlas.site(show.venue):
            return show.venue, site
        raise NoNeed(f"No town is known for {show.venue}; add it to the place first.")
    state = getattr(piece.subject, "state", None)
    found = atlas.find(state.place_id if state else None)
    if found.site is None:
        raise NoNeed(f"No show is planned, and of {piece.code} itself: {found.said}")
    return atlas.places[state.place_id], found.site


def of_piece(piece: Piece, position: RigPosition | None) -> dict:
    """What the failed piece asks of another; no design or circuit is like none but itself."""
    plays = position is None or position.piece_id == piece.pk
    return {
        "code": piece.code if plays else None,
        "kind": piece.kind,
        "design": piece.design.name if piece.design else piece.code,
        "circuit": piece.circuit.name if piece.circuit else piece.code,
        "close_circuits": _close_to(piece.circuit),
        "load_ohms": load_of(piece) if piece.kind == "amplifier" else None,
        "traits": traits_asked(piece, position),
        "family": family_of(piece),
    }


def family_of(piece: Piece) -> str:
    """The family of an instrument: nobody plays a guitar for an organ; '' for the rest."""
    if piece.kind != "instrument":
        return ""
    return (piece.family or (piece.design.family if piece.design else "")).casefold()


def _close_to(circuit: Circuit | None) -> frozenset[str]:
    if circuit is None:
        return frozenset()
    return frozenset(close.name for close in circuit.close_to.all())


def load_of(piece: Piece) -> float | None:
    """The load a piece drives, its own or its circuit's, in ohms."""
    ohms = piece.load_ohms or (piece.circuit.load_ohms if piece.circuit else None)
    return float(ohms) if ohms is not None else None


def traits_asked(piece: Piece, position: RigPosition | None) -> frozenset[str]:
    """What a backup must have: the position's words, and an instrument's tuning and hand."""
    words = {*(position.traits if position else ())}
    if piece.kind == "instrument":
        words |= {piece.tuning, piece.handed}
    return frozenset(word.strip().casefold() for word in words if word.strip())


def traits_of(piece: Piece) -> frozenset[str]:
    """What a piece has: tuning, hand and connectors, in small letters."""
    words = (piece.tuning, piece.handed, *piece.connectors.replace(";", ",").split(","))
    return frozenset(word.strip().casefold() for word in words if word.strip())


def _of_position(position: RigPosition) -> dict:
    return {
        "outage_minutes": position.outage_minutes,
        "accepted": tuple(position.accepted),
        "emergency": tuple(position.emergency),
        "never": tuple(position.never),
    }

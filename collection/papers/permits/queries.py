"""What the pages of permits show: materials, certificates, and a journey for the cautions."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta

from django.db.models import QuerySet

from collection.catalogue.models import Piece
from collection.core.border import months_after
from collection.core.date_sentence import day_words
from collection.core.permit import (
    STALE_MONTHS,
    Certificate,
    Material,
    PieceOnTrip,
    Trip,
)
from collection.core.species import AS_OF, LAST_CONFERENCE, NOT_ADVICE
from collection.core.territory import customs_territory
from collection.ledger.models import Event, Mention
from collection.ledger.queries import sentence_of, superseded
from collection.papers.borders import queries as borders
from collection.papers.borders.queries import Borders
from collection.papers.permits.models import (
    InstrumentCertificate,
    PartMaterial,
    PermitRules,
    PieceAbroad,
)
from collection.road.models import Tour
from registry.access.models import Collection

PARTS_CHANGED = ("issued", "fitted", "removed", "pulled", "died_in_use")
MOST_SAID = 3
SOON = timedelta(days=60)  # house rule: so long before its end a certificate is pointed at


@dataclass(frozen=True)
class Advice:
    """What stands on every page and paper about species."""

    stale: bool
    words: str = NOT_ADVICE
    as_of: date = AS_OF
    conference: str = LAST_CONFERENCE[0]
    conference_ended: date = LAST_CONFERENCE[1]


@dataclass(frozen=True)
class CertificateLine:
    """A certificate as a list shows it."""

    certificate: InstrumentCertificate
    over: bool
    soon: bool
    unstamped: int


def stale_months(collection: Collection) -> int:
    """After how many months the collection wants the table read again; 1 query."""
    rules = PermitRules.objects.of(collection).first()
    return rules.stale_months if rules else STALE_MONTHS


def advice(collection: Collection, *, today: date) -> Advice:
    """As of when the table is, and whether that is too long ago for this collection."""
    until = months_after(AS_OF, stale_months(collection))
    return Advice(stale=until < today or LAST_CONFERENCE[1] > AS_OF)


def materials(collection: Collection) -> QuerySet[PartMaterial]:
    """Materials of every part, piece by piece."""
    found = PartMaterial.objects.filter(piece__in=Piece.objects.of(collection))
    return found.select_related("piece__design").order_by("piece__code", "pk")


def as_material(row: PartMaterial) -> Material:
    """A row as the core reckons with it."""
    return Material(
        row.part, row.trade, row.scientific, row.evidence, row.acquired_by, row.natural, row.loose
    )


def materials_of(piece: Piece) -> list[tuple[PartMaterial, Material]]:
    """Each part of one piece with what the table says of it."""
    rows = PartMaterial.objects.filter(piece=piece)
    return [(row, as_material(row)) for row in rows]


def abroad_of(piece: Piece) -> PieceAbroad | None:
    """What a piece is meant for beyond playing."""
    return PieceAbroad.objects.filter(piece=piece).first()


def by_piece(collection: Collection) -> list[tuple[Piece, list[Material]]]:
    """Pieces with written-down materials; 1 query."""
    found: dict[int, tuple[Piece, list[Material]]] = {}
    for row in materials(collection):
        found.setdefault(row.piece_id, (row.piece, []))[1].append(as_material(row))
    return list(found.values())


def certificates(collection: Collection) -> QuerySet[InstrumentCertificate]:
    """Certificates with piece, species and crossings, the first to end first."""
    found = InstrumentCertificate.objects.of(collection).select_related("piece__design", "subject")
    return found.prefetch_related("species", "crossings")


def lines(rows: Iterable[InstrumentCertificate], *, today: date) -> list[CertificateLine]:
    """Certificates with how long they last."""
    return [
        CertificateLine(
            row, over=row.expires_on < today,
            soon=today <= row.expires_on <= today + SOON, unstamped=unstamped_of(row),
        )
        for row in rows
    ]  # fmt: skip


def unstamped_of(row: InstrumentCertificate) -> int:
    """Crossings without a stamp."""
    return sum(not crossing.stamped for crossing in row.crossings.all())


def trip_of(page: Borders) -> Trip:
    """A tour as the cautions see it; a fixed number of queries whatever the size."""
    tour, carnet = page.tour, page.carnet
    papers = certificates(tour.collection).filter(piece__travels__tour=tour).distinct()
    stops = {show.venue.country for show in page.shows if show.venue.country}
    return Trip(
        today=page.today,
        starts_on=tour.starts_on,
        home_on=page.home_on,
        territories=tuple(sorted(map(customs_territory, stops))),
        as_of=AS_OF,
        last_conference=LAST_CONFERENCE[1],
        pieces=tuple(_pieces(page)),
        certificates=tuple(map(_certificate, papers)),
        traveller=carnet.traveller if carnet else "",
        needs_carnet=tour.carnet,
        valid_until=carnet.valid_until if carnet else None,
        unstamped=tuple(_missing_stamp(row) for row in borders.unstamped(tour.collection)),
        stale_months=stale_months(tour.collection),
    )


def _missing_stamp(row: borders.CarnetCrossing) -> str:
    return f"{borders.as_crossing(row).words}, on {day_words(row.on)} ({row.carnet.tour.name})."


def _certificate(row: InstrumentCertificate) -> Certificate:
    names = tuple(one.scientific for one in row.species.all())
    return Certificate(
        row.number, row.piece.code, row.holder, row.expires_on, names, unstamped_of(row)
    )


def _pieces(page: Borders) -> Iterable[PieceOnTrip]:
    listed = set(page.goods.codes) if page.goods else set()
    incomplete = page.goods.incomplete if page.goods else {}
    parts, abroad = _materials_of(page.tour), _abroad_of(page.tour)
    replaced = _replaced(page)
    for piece in (one.piece for one in page.travels):
        meant = abroad.get(piece.pk)
        yield PieceOnTrip(
            piece.code, piece.called, piece.built_to.year if piece.built_to else None,
            tuple(parts[piece.pk]), for_sale=bool(meant and meant.for_sale),
            handed_over=meant.handed_over if meant else "", on_carnet=piece.code in listed,
            incomplete=incomplete.get(piece.code, ()), replaced=tuple(replaced.get(piece.pk, ())),
        )  # fmt: skip


def _materials_of(tour: Tour) -> dict[int, list[Material]]:
    found: dict[int, list[Material]] = defaultdict(list)
    for row in PartMaterial.objects.filter(piece__travels__tour=tour).order_by("pk"):
        found[row.piece_id].append(as_material(row))
    return found


def _abroad_of(tour: Tour) -> dict[int, PieceAbroad]:
    return {row.pk: row for row in PieceAbroad.objects.filter(piece__travels__tour=tour)}


def _replaced(page: Borders) -> dict[int, list[str]]:
    """What the book says was changed in the pieces since the issue, the newest first."""
    if page.carnet is None or page.carnet.issued_on is None:
        return {}
    found: dict[int, list[str]] = defaultdict(list)
    along = [one.piece_id for one in page.travels]
    changed = Event.objects.of(page.tour.collection).filter(
        ~superseded(), kind__in=PARTS_CHANGED, earliest__gt=page.carnet.issued_on
    )
    rows = Mention.objects.filter(subject__in=along, entry__in=changed)
    for row in rows.select_related("entry").order_by("-placed_us", "-entry"):
        if row.entry.facts.get("how", "done") == "done":
            found[row.subject_id].append(sentence_of(row.entry).rstrip("."))
    return {pk: _shortened(said) for pk, said in found.items()}


def _shortened(said: list[str]) -> list[str]:
    more = len(said) - MOST_SAID
    return [*said[:MOST_SAID], f"and {more} more"] if more > 0 else said

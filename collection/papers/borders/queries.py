"""What the pages of borders show: the list with its findings, list and truck, stamps, alarms."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta
from functools import cached_property

from django.db.models import QuerySet

from collection.catalogue.models import Piece
from collection.core import border
from collection.core.customs import Compared, Row, Totals, compared, totals
from collection.core.customs_rules import ASKED_AT_A_BORDER, Finding, list_findings
from collection.custody.whereabouts import Whereabouts
from collection.papers.borders import goods
from collection.papers.borders.models import CarnetCrossing, ListedGoods
from collection.road.carnet.models import Carnet
from collection.road.models import Show, Tour, Travelling
from registry.access.models import Collection

AFTER_THE_LAST_SHOW = timedelta(days=1)


@dataclass(frozen=True)
class Line:
    """A line of the list with what is wrong with it, and where its first piece is packed."""

    row: Row
    findings: tuple[Finding, ...]
    packed_in: str


@dataclass(frozen=True)
class GoodsList:
    """A list of goods, issued or still open."""

    carnet: Carnet
    lines: tuple[Line, ...]
    totals: Totals

    @property
    def rows(self) -> tuple[Row, ...]:
        return tuple(line.row for line in self.lines)

    @property
    def codes(self) -> tuple[str, ...]:
        """Codes of the pieces on the list, in its order."""
        return tuple(code for row in self.rows for code in row.codes)

    @property
    def findings(self) -> tuple[Finding, ...]:
        return tuple(one for line in self.lines for one in line.findings)

    @property
    def incomplete(self) -> dict[str, tuple[str, ...]]:
        """Which of serial, weight, value, origin the line of a piece lacks, by code."""
        found: dict[str, tuple[str, ...]] = {}
        for line in self.lines:
            asked = [f.rule for f in line.findings if f.rule in ASKED_AT_A_BORDER]
            if asked:
                found |= dict.fromkeys(line.row.codes, tuple(dict.fromkeys(asked)))
        return found


@dataclass(frozen=True)
class Truck:
    """List and truck, as the book has the truck."""

    compared: Compared
    called: dict[str, str]
    at: dict[str, str]
    incomplete: dict[str, tuple[str, ...]]
    in_hall: frozenset[str] = frozenset()

    @property
    def missing(self) -> list[tuple[str, str, str]]:
        """On the list, neither in the truck nor in tonight's hall: code, name, where it is."""
        return self._told(c for c in self.compared.missing if c not in self.in_hall)

    @property
    def to_load(self) -> list[tuple[str, str, str]]:
        """On the list and in the hall of the day: not loaded yet."""
        return self._told(c for c in self.compared.missing if c in self.in_hall)

    def _told(self, codes: Iterable[str]) -> list[tuple[str, str, str]]:
        return [(code, self.called.get(code, ""), self.at.get(code, "")) for code in codes]

    @property
    def extra(self) -> list[tuple[str, str, str]]:
        """In the truck, not on the list."""
        return self._told(self.compared.extra)

    @property
    def not_complete(self) -> list[tuple[str, str, str]]:
        """On the list without serial, weight, value or origin."""
        return [(c, self.called.get(c, ""), ", ".join(why)) for c, why in self.incomplete.items()]

    @property
    def in_order(self) -> bool:
        return self.compared.agree and not self.incomplete


@dataclass(frozen=True)
class Alarm:
    """What must not be forgotten at a border: the one at hand, and stamps that are missing."""

    border: border.Border | None
    unstamped: tuple[CarnetCrossing, ...] = ()
    out_soon: tuple[border.Crossing, ...] = ()

    def __bool__(self) -> bool:
        return bool(self.border or self.unstamped or self.out_soon)


@dataclass(frozen=True)
class Borders:
    """Everything about the borders of one tour."""

    tour: Tour
    carnet: Carnet | None
    known: Whereabouts
    travels: tuple[Travelling, ...]
    shows: tuple[Show, ...]
    today: date

    @cached_property
    def goods(self) -> GoodsList | None:
        """The list, as issued or as it would be now."""
        if self.carnet is None:
            return None
        rows = (
            goods.issued(self.carnet)
            if self.carnet.issued
            else goods.draft(self.carnet, self.travels, self.known)
        )
        return _listed(self.carnet, rows, self.pieces, self.known)

    @property
    def pieces(self) -> dict[str, Piece]:
        return {one.piece.code: one.piece for one in self.travels}

    @property
    def kept_off(self) -> list[tuple[Piece, str]]:
        """Pieces ticked for the list that may not stand on it, and why."""
        ticked = [one.piece for one in self.travels if one.on_carnet]
        return [(piece, why) for piece in ticked if (why := goods.kept_off(piece))]

    @cached_property
    def crossings(self) -> tuple[CarnetCrossing, ...]:
        return tuple(crossings_of(self.carnet)) if self.carnet else ()

    @cached_property
    def borders(self) -> tuple[border.Border, ...]:
        """Customs borders of the journey, home and back."""
        return borders_of(self.shows, self.carnet)

    @property
    def home_on(self) -> date:
        """The day after the last show, when everything should be home."""
        return self.tour.ends_on + AFTER_THE_LAST_SHOW

    @property
    def ends_too_early(self) -> bool:
        """Whether the carnet is over before that day."""
        return border.ends_too_early(self.carnet and self.carnet.valid_until, self.home_on)


def tours_with_borders(collection: Collection) -> QuerySet[Tour]:
    """Tours that a carnet covers, the newest first."""
    found = Tour.objects.of(collection).filter(carnet=True)
    return found.select_related("carnet_paper").order_by("-starts_on")


def borders(tour: Tour, known: Whereabouts, *, today: date) -> Borders:
    """The borders of a tour; the same few queries whatever the size."""
    found = Carnet.objects.filter(tour=tour).select_related("subject", "collection")
    travels = tuple(goods.travelling(tour))
    return Borders(tour, found.first(), known, travels, tuple(_shows(tour)), today)


def _shows(tour: Tour) -> QuerySet[Show]:
    return Show.objects.filter(tour=tour).select_related("venue").order_by("on", "number")


def borders_of(shows: Iterable[Show], carnet: Carnet | None) -> tuple[border.Border, ...]:
    """Customs borders between shows, and from and to home where the carnet says where that is."""
    stops = [
        border.Stop(show.on, show.venue.country, show.venue.town or show.venue.name)
        for show in shows
    ]
    return border.borders(stops, home=carnet.home if carnet else "")


def _listed(
    carnet: Carnet, rows: tuple[Row, ...], pieces: dict[str, Piece], known: Whereabouts
) -> GoodsList:
    by_numbers: dict[str, list[Finding]] = {}
    for one in list_findings(rows, carnet.currency):
        by_numbers.setdefault(one.numbers, []).append(one)
    lines = []
    for row in rows:
        piece = pieces.get(row.codes[0]) if row.codes else None
        packed_in = goods.packed_in(piece, known) if row.codes else "without a code"
        lines.append(Line(row, tuple(by_numbers.get(row.numbers, ())), packed_in))
    return GoodsList(carnet, tuple(lines), totals(rows, carnet.currency))


def in_truck(tour: Tour, known: Whereabouts) -> list[Piece]:
    """Pieces that the book has in a truck or case of the tour, in truck order; 2 queries."""
    along = {place.code for place in tour.places.all()}
    inside = [pk for pk in known.rows if along & {place.code for place in known.chain(pk)}]
    rows = Piece.objects.of(tour.collection).filter(
        subject__state__place__in=inside, subject__state__standing=goods.MAY_TRAVEL
    )
    return goods.in_truck_order(rows.select_related("design", "subject__state"), known)


def truck(page: Borders) -> Truck:
    """What is in the truck by the book against the list; 3 queries."""
    there = in_truck(page.tour, page.known)
    listed = page.goods.codes if page.goods else ()
    elsewhere = Piece.objects.of(page.tour.collection).filter(code__in=listed)
    rows = [*there, *elsewhere.select_related("design", "subject__state")]
    here = {show.venue.code for show in page.shows if show.on == page.today}
    return Truck(
        compared(listed, [piece.code for piece in there]),
        {piece.code: piece.called for piece in rows},
        {piece.code: _where(piece, page.known) for piece in rows},
        page.goods.incomplete if page.goods else {},
        frozenset(piece.code for piece in rows if _is_in(piece, here, page.known)),
    )


def _where(piece: Piece, known: Whereabouts) -> str:
    return ", ".join(filter(None, (known.words(goods.place_of(piece)), goods.kept_off(piece))))


def _is_in(piece: Piece, places: set[str], known: Whereabouts) -> bool:
    """Whether it is in one of these places and nobody looked for it in vain."""
    at = goods.place_of(piece)
    chain = known.chain(at) if at in known.rows else []
    return not goods.kept_off(piece) and any(place.code in places for place in chain)


# -- crossings -------------------------------------------------------------------------------
def crossings_of(carnet: Carnet) -> QuerySet[CarnetCrossing]:
    """Crossings on a carnet in order of day, with their photos."""
    return CarnetCrossing.objects.filter(carnet=carnet).select_related("photo", "carnet__tour")


def unstamped(collection: Collection) -> list[CarnetCrossing]:
    """Crossings on any carnet without a stamp that nobody has put right; 1 query."""
    found = CarnetCrossing.objects.of(collection).filter(stamped=False, put_right_on=None)
    return list(found.select_related("carnet__tour"))


def as_crossing(row: CarnetCrossing) -> border.Crossing:
    """A crossing as the core reckons with it."""
    return border.Crossing(
        row.on, row.place, row.country, row.direction, row.stamped,
        put_right=row.put_right_on is not None, out_by=row.out_by, voucher=row.voucher,
    )  # fmt: skip


def alarm(tour: Tour, *, today: date, always: bool = False) -> Alarm:
    """What a border asks for on a day of a tour; 4 queries at most, none without a carnet.

    Missing stamps are said on days on which a border may be crossed, and `always` on pages of
    borders.
    """
    if not tour.carnet:
        return Alarm(None)
    carnet = Carnet.objects.filter(tour=tour).first()
    on_way = next((b for b in borders_of(_shows(tour), carnet) if b.is_on(today)), None)
    if on_way is None and not always:
        return Alarm(None)
    own = [as_crossing(row) for row in crossings_of(carnet)] if carnet else []
    return Alarm(on_way, tuple(unstamped(tour.collection)), border.out_soon(own, today=today))


def crossings(collection: Collection) -> QuerySet[CarnetCrossing]:
    """Crossings of a collection with their carnets."""
    return CarnetCrossing.objects.of(collection).select_related("carnet__tour", "collection")


def listed_goods(tour: Tour) -> QuerySet[ListedGoods]:
    """Goods without a code on the list of a tour's carnet."""
    return ListedGoods.objects.filter(carnet__tour=tour).select_related("carnet")

"""The lists of a day: each piece with its owner, place, standing and value then; loans then."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta

from django.db.models import Exists, OuterRef, Q, QuerySet

from collection.catalogue import queries as catalogue
from collection.catalogue.models import Piece
from collection.core.entry import to_us
from collection.core.moment import day
from collection.custody.loans.models import LoanedPiece
from collection.custody.loans.queries import loans
from collection.custody.models import Place
from collection.custody.queries import parties
from collection.custody.whereabouts import PRIVATE, Whereabouts, whereabouts
from collection.desk.queries.pieces import STANDINGS
from collection.ledger.as_of import CHAINS, Lines, Moment, Then, lines_of, states_at
from collection.ledger.models import Event, Mention
from registry.access.models import Collection, Membership

LEFT = ("sold", "disposed", "given_back")
BEGINNINGS = ("acquired", "hired_in")
MOVING = (Place.Kind.CASE, Place.Kind.TRUCK, Place.Kind.ON_THE_WAY)
AT_ONCE = 500


@dataclass(frozen=True)
class Line:
    """One piece then, in words."""

    piece: Piece
    stands: str
    owner: str
    holder: str
    where: str
    then: Then

    @property
    def standing(self) -> str:
        """What it was then: 'held, with us'."""
        return STANDINGS.get(self.stands, self.stands)

    @property
    def left(self) -> bool:
        """Whether it had left for good."""
        return self.stands in LEFT

    @property
    def value_minor(self) -> int | None:
        """Its last valuation until then, None where there was none."""
        return self.then.value.value_minor if self.then.value else None

    @property
    def currency(self) -> str:
        """The currency of that valuation."""
        return self.then.value.currency if self.then.value else ""

    @property
    def valued(self) -> str:
        """The day of that valuation in words, '' where nobody said it."""
        on = self.then.valued_on
        return day(date.fromisoformat(on)) if on else ""


@dataclass(frozen=True)
class Title:
    """What one owner had then."""

    owner: str
    pieces: int
    values: tuple[tuple[int, str], ...]
    unvalued: int


def moment_of(collection: Collection, *, at: date, known: date | None) -> Moment:
    """The end of a day in the collection's zone, what was recorded until the end of another."""
    zone = collection.zone_info
    ends = [
        datetime.combine(day + timedelta(days=1), time(), zone) if day else None
        for day in (at, known)
    ]
    return Moment(ends[0] - timedelta(microseconds=1), zone, ends[1])


def there_then(collection: Collection, moment: Moment, lines: Lines) -> QuerySet[Piece]:
    """Pieces that were ours, or with us, at some time until then.

    One that was acquired or hired counts from that day: a paper of 1964 about it does not make it
    ours in 1964. One of which nobody says how it came counts from its first entry that describes
    it, moves it or passes title. What has no date stands before everything.
    """
    until = to_us(moment.until)
    begun = Event.objects.of(collection).filter(kind__in=BEGINNINGS)
    first = Mention.objects.filter(
        subject=OuterRef("pk"), entry__kind__in=(*CHAINS, "described"), placed_us__lte=until
    )
    if moment.known is not None:
        begun = begun.filter(recorded_at__lt=moment.known)
        first = first.filter(entry__recorded_at__lt=moment.known)
    begun = begun.exclude(sequence__in=lines.struck)
    ours = Q(pk__in=begun.filter(placed_us__lte=until).values("subject"))
    untold = ~Q(pk__in=begun.values("subject")) & Exists(first)
    return catalogue.pieces(collection).filter(ours | untold).order_by("code")


class AsOf:
    """Reads the pieces of one moment; what all of them need is read once."""

    def __init__(self, member: Membership, moment: Moment) -> None:
        self.collection, self.moment = member.collection, moment
        self.known: Whereabouts = whereabouts(member)
        self.lines: Lines = lines_of(self.collection, moment)
        self.parties = {party.code: party.name for party in parties(self.collection)}

    def there(self) -> QuerySet[Piece]:
        """The pieces of that moment, by code."""
        return there_then(self.collection, self.moment, self.lines)

    def of(self, pieces: Iterable[Piece]) -> list[Line]:
        """These pieces then; three queries."""
        pieces = list(pieces)
        then = self._states({piece.pk: piece.code for piece in pieces})
        moving = self._moving({one.state.place for one in then.values() if one.state.place})
        around = self._states(moving)
        outside = self._moving({one.state.place for one in around.values() if one.state.place})
        around |= self._states({pk: code for pk, code in outside.items() if pk not in around})
        return [self._line(piece, then.get(piece.pk, Then()), around) for piece in pieces]

    def all(self) -> Iterator[Line]:
        """Every piece of that moment, some hundreds at a time."""
        pieces, last = self.there(), ""
        while rows := list(pieces.filter(code__gt=last)[:AT_ONCE]):
            yield from self.of(rows)
            last = rows[-1].code

    def _states(self, codes: dict[int, str]) -> dict[int, Then]:
        return states_at(self.collection, codes, moment=self.moment, lines=self.lines)

    def _moving(self, codes: set[str]) -> dict[int, str]:
        places = [self.known.by_code[code] for code in codes if code in self.known.by_code]
        return {place.pk: place.code for place in places if place.kind in MOVING}

    def _line(self, piece: Piece, then: Then, around: dict[int, Then]) -> Line:
        state = then.state
        stands = "lent" if state.standing == "held" and state.holder else state.standing
        return Line(
            piece, stands, self._party(state.owner), self._party(state.holder),
            self._where(state.place, around), then,
        )  # fmt: skip

    def _party(self, code: str | None) -> str:
        return self.parties.get(code, code) if code else ""

    def _where(self, code: str | None, around: dict[int, Then]) -> str:
        """'Case 07, Carlisle warehouse': a case with where it was then, a room as it is today."""
        said: list[str] = []
        while code in self.known.by_code and len(said) < 4:
            place = self.known.by_code[code]
            if self.known.hidden(place.pk) and place.kind not in MOVING:
                return PRIVATE
            if place.kind not in MOVING:
                return ", ".join([*said, self.known.words(place.pk)])
            said.append(place.name)
            code = around[place.pk].state.place if place.pk in around else None
        return ", ".join(said)


def titles_of(lines: Iterable[Line]) -> list[Title]:
    """By owner what was there then, values by currency; who owned nothing then is absent."""
    by_owner: dict[str, list[Line]] = {}
    for line in lines:
        if not line.left:
            by_owner.setdefault(line.owner, []).append(line)
    return [_title(owner, by_owner[owner]) for owner in sorted(by_owner, key=str.casefold)]


def _title(owner: str, lines: list[Line]) -> Title:
    sums: dict[str, int] = {}
    for line in lines:
        if line.value_minor is not None:
            sums[line.currency] = sums.get(line.currency, 0) + line.value_minor
    values = tuple((minor, currency) for currency, minor in sorted(sums.items()))
    return Title(owner, len(lines), values, sum(line.value_minor is None for line in lines))


def out_then(collection: Collection, at: date) -> list[LoanedPiece]:
    """Pieces on a loan, out or in, at the end of a day, by the days written in the loan."""
    begun = loans(collection).filter(begins_on__lte=at)
    rows = [row for loan in begun for row in loan.pieces.all()]
    return [row for row in rows if row.back_on is None or row.back_on > at]

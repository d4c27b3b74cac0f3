"""What may be fitted in a position: tested sets, sets of the reserve, or a sealed one to open."""

from dataclasses import dataclass

from collection.stock.counting import BENCH, OFF_STAGE, in_words
from collection.stock.grades import SHOW
from collection.stock.lives import PartLife, lives_of
from collection.stock.matching.queries import spoken_for
from collection.stock.models import Lot, Part
from collection.stock.positions import names_in
from collection.stock.records import LotCount, Shelf, TypeStock


@dataclass(frozen=True)
class NewSet:
    """One way to fill a position; `part` is a set of the reserve with a code of its own."""

    lot: Lot
    bucket: str
    units: int
    left: int
    part: str = ""
    hours: float = 0.0

    @property
    def key(self) -> str:
        """What the form sends."""
        return f"{self.lot.code}/{self.bucket}/{self.part}"

    @property
    def words(self) -> str:
        """As said: 'L-002, show grade, drawer 3; 6 left then'."""
        brand = f"{self.lot.brand} " if self.lot.brand else ""
        drawer = f", drawer {self.lot.drawer}" if self.lot.drawer else ""
        if self.part and self.bucket.startswith("tested:"):
            what = f"{brand}{self.lot.type.code} matched, {in_words(self.bucket)}"
            return f"{self.part}, {what}: {self.lot.code}{drawer}"
        if self.part:
            young = ", under 10 h" if self.hours < 10 else ""
            grade = self.bucket.partition(":")[2]
            kept = "pulled reserve" if grade == SHOW else f"pulled for {grade}"
            return f"{self.part}, {kept}, {self.hours:.0f} h HT{young}"
        what = "open a sealed one, test first" if self.bucket == "sealed" else in_words(self.bucket)
        return (
            f"{brand}{self.lot.type.code}, {what}: {self.lot.code}{drawer}; {self.left} left then"
        )


@dataclass(frozen=True)
class Socket:
    """A position of a piece with what is in it and what could go in."""

    piece: str
    position: str
    fitted: Part | None
    life: PartLife | None
    sets: tuple[NewSet, ...]
    grade: str
    read_next: bool  # output tubes: what is new is read at idle before it is believed


def socket_of(shelf: Shelf, piece: str, position: str) -> Socket:
    """What is fitted at a position, with its hours, and what may replace it."""
    home = next((home for home in shelf.homes if home.code == piece), None)
    named = [p for p in home.positions if position in (p.name, p.matched_with)] if home else []
    names = {position, *(p.name for p in named), *(p.matched_with for p in named)} - {""}
    here = [
        part
        for part in shelf.parts
        if part.state.fitted_in == piece and names_in(part.state.position or "") & names
    ]
    if here and here[0].state.position in {p.matched_with for p in named} - {"", position}:
        return socket_of(shelf, piece, here[0].state.position)  # a set comes out as a whole
    codes = {code for place in named for code in place.fits} | {p.part.type.code for p in here}
    stocks = [one for one in shelf.stocks() if codes & one.codes] or shelf.stocks()
    sets = [one for stock in stocks for one in _sets(stock, places=len(named))]
    grade = named[0].grade if named else ""
    return Socket(
        piece=piece,
        position=position,
        fitted=here[0].part if here else None,
        life=_life(shelf, here[0].part) if here else None,
        sets=tuple(sorted(sets, key=lambda one: _order(one, grade))),
        grade=grade,
        read_next=any("output" in place.does.casefold() for place in named),
    )


def _life(shelf: Shelf, part: Part) -> PartLife | None:
    parts = [one for one in shelf.parts if one.part.pk == part.pk]
    found = lives_of(parts, shelf.fittings, shelf.shows, clock="ht")
    return found[0] if found else None


def _sets(stock: TypeStock, *, places: int) -> list[NewSet]:
    found = []
    coded = spoken_for((one.part, one.state) for one in stock.parts)
    for held in stock.lots:
        units = 1 if held.lot.in_sets else max(1, places)
        free = {b: n - coded.get((held.lot.pk, b), 0) for b, n in held.counts.items()}
        found += [
            NewSet(held.lot, bucket, units, count - units)
            for bucket, count in free.items()
            if bucket.partition(":")[0] in {"sealed", "tested"} and count >= units
        ]
        found += _pulled(stock, held)
        found += _matched(stock, held, units=units)
    return found


def _matched(stock: TypeStock, held: LotCount, *, units: int) -> list[NewSet]:
    """Sets that wait under a code; loose tubes under a code are matched first."""
    return [
        NewSet(held.lot, one.state.grade or "", units, 0, one.part.code,
               float(one.state.hours_before))
        for one in stock.parts
        if one.part.lot_id == held.lot.pk
        and one.part.units == units > 1
        and not one.state.fitted_in
        and ":" in (one.state.grade or "")
        and held.counts.get(one.state.grade or "", 0) >= units
    ]  # fmt: skip


def _pulled(stock: TypeStock, held: LotCount) -> list[NewSet]:
    lives = lives_of(stock.parts, stock.shelf.fittings, stock.shelf.shows, clock="ht")
    hours = {life.part: life.hours for life in lives}
    return [
        NewSet(held.lot, f"pulled:{one.state.grade}", one.part.units, 0, one.part.code,
               hours.get(one.part.code, 0.0))
        for one in stock.parts
        if one.part.lot_id == held.lot.pk
        and not one.state.fitted_in
        and one.state.grade not in (None, "dead", BENCH)
        and held.counts.get(f"pulled:{one.state.grade}", 0) >= one.part.units
    ]  # fmt: skip


def _order(one: NewSet, wanted: str) -> tuple[int, int, str]:
    """What the position asks for, then show grade; matched, tested, the reserve, then sealed.

    A grade that other positions ask for comes behind sealed ones, so that the rare quiet tube is
    not what a press of the thumb takes for a place that needs none; off-stage grades come last.
    """
    family, _, grade = one.bucket.partition(":")
    rank = {"tested": 0 if one.part else 1, "pulled": 2, "sealed": 3}[family]
    if grade in OFF_STAGE:
        return (6 if grade == BENCH else 5, rank, one.key)
    if family == "sealed" or grade == SHOW:
        return (0 if not wanted or wanted == SHOW else 1, rank, one.key)
    return (0 if grade == wanted else 4, rank, one.key)

"""Writing a carnet: its paper, its list until the issue, its crossings, and stamps put right."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date
from typing import Any

from collection.catalogue.actions import add_photo
from collection.core.border import DIRECTIONS, valid_at_most_until
from collection.core.customs import LONGEST_MONTHS
from collection.core.date_sentence import day_words
from collection.core.events.noted import Noted
from collection.ledger.actions import as_told, open_book
from collection.ledger.errors import LedgerError, PlanRefused
from collection.ledger.presses import made_before, remember
from collection.ledger.telling import Telling
from collection.papers.borders import goods
from collection.papers.borders.models import CarnetCrossing, ListedGoods
from collection.papers.borders.queries import Borders
from collection.road.carnet.models import Carnet
from collection.road.models import Tour, Travelling
from registry.access.models import Membership

ABOUT = "carnet"
CLOSED = "The carnet is issued: nothing is added to its list, and nothing on it is changed."


@dataclass(frozen=True)
class Passed:
    """One crossing as it was: office, country, direction, voucher, stamp, photo of the stamp."""

    on: date
    place: str
    country: str
    direction: str
    stamped: bool
    voucher: str = ""
    items: str = ""
    out_by: date | None = None
    photo: bytes | None = None


def begin(*, tour: Tour, by: Membership, code: str = "", **paper: Any) -> Carnet:
    """Begin the carnet of a tour, or write its paper anew; once issued only who travels with it."""
    with open_book(tour.collection, by) as book:
        before = Carnet.objects.filter(tour=tour).first()
        if before is not None:
            return _rewritten(before, paper)
        subject = book.new_subject("carnet", code)
        known = {"collection": tour.collection, "currency": tour.collection.currency} | paper
        made = Carnet.objects.create(subject=subject, code=subject.code, tour=tour, **known)
        if not tour.carnet:
            tour.carnet = True
            tour.save(update_fields=["carnet"])
        words = f"Carnet begun for {tour.name}."
        book.append(Noted(about=ABOUT), subject.code, as_told(book, Telling(words=words)))
        return made


def _rewritten(carnet: Carnet, paper: dict[str, Any]) -> Carnet:
    changed = {name: value for name, value in paper.items() if getattr(carnet, name) != value}
    if carnet.issued and changed.keys() - {"traveller"}:
        raise LedgerError(f"{CLOSED} Only who travels with the goods can change.")
    for name, value in changed.items():
        setattr(carnet, name, value)
    carnet.save(update_fields=list(changed))
    return carnet


def choose(*, carnet: Carnet, by: Membership, codes: Iterable[str]) -> None:
    """Say which of the travelling pieces stand on the list."""
    with open_book(carnet.collection, by):
        _refuse_closed(carnet)
        rows = Travelling.objects.filter(tour=carnet.tour_id)
        wanted = set(codes)
        rows.filter(piece__code__in=wanted).update(on_carnet=True)
        rows.exclude(piece__code__in=wanted).update(on_carnet=False)


def list_goods(*, carnet: Carnet, by: Membership, once: str = "", **facts: Any) -> ListedGoods:
    """Put goods without a code on the list."""
    with open_book(carnet.collection, by):
        if made := made_before(carnet.collection, once):
            return ListedGoods.objects.get(carnet=carnet, pk=int(made))
        _refuse_closed(carnet)
        made = ListedGoods.objects.create(carnet=carnet, **facts)
        remember(carnet.collection, once, str(made.pk))
        return made


def strike_goods(*, row: ListedGoods, by: Membership) -> None:
    """Take goods without a code off the list."""
    with open_book(row.carnet.collection, by):
        _refuse_closed(row.carnet)
        row.delete()


def _refuse_closed(carnet: Carnet) -> None:
    carnet.refresh_from_db(fields=["issued_on"])
    if carnet.issued:
        raise LedgerError(CLOSED)


def issue(
    *, page: Borders, by: Membership, issued_on: date, valid_until: date,
    telling: Telling | None = None,
) -> Carnet:  # fmt: skip
    """The chamber has issued it: the list is frozen as it stands; raises PlanRefused."""
    carnet = page.carnet
    if carnet is None:
        raise LedgerError("There is no carnet to issue.")
    with open_book(carnet.collection, by) as book:
        telling = as_told(book, telling)
        if book.sent_before(telling.once):
            return carnet
        _refuse_closed(carnet)
        if reasons := _speaks_against(page, issued_on, valid_until):
            raise PlanRefused(reasons)
        carnet.issued_on, carnet.valid_until = issued_on, valid_until
        carnet.rows = goods.as_json(page.goods.rows)
        carnet.save(update_fields=["issued_on", "valid_until", "rows"])
        Travelling.objects.filter(tour=page.tour).exclude(piece__code__in=carnet.listed).update(
            on_carnet=False
        )
        count = page.goods.totals.items
        words = f"Issued as {carnet.number} with {count} items, until {day_words(valid_until)}."
        book.append(Noted(about=ABOUT), carnet.code, _with_words(telling, words))
        return carnet


def _speaks_against(page: Borders, issued_on: date, valid_until: date) -> tuple[str, ...]:
    latest = valid_at_most_until(issued_on, LONGEST_MONTHS)
    found = []
    if not page.carnet.number or not page.carnet.chamber or not page.carnet.holder:
        found.append(
            "Number, issuing chamber and holder stand on the paper: write them down first."
        )
    if valid_until > latest:
        found.append(f"A carnet is valid for a year at most: until {day_words(latest)}.")
    if valid_until < issued_on:
        found.append("It would end before it is issued.")
    if not page.goods.rows:
        found.append("Nothing is on the list.")
    return tuple(found)


def cross(
    *, carnet: Carnet, by: Membership, passed: Passed, telling: Telling | None = None
) -> CarnetCrossing:
    """Write down a crossing with its counterfoil; what was seen at a border is never refused."""
    if not passed.on:
        raise LedgerError("A crossing needs its day.")
    with open_book(carnet.collection, by) as book:
        telling = as_told(book, telling)
        if before := book.sent_before(telling.once):
            return CarnetCrossing.objects.of(carnet.collection).get(entry=before.sequence)
        happened = telling.happened if telling.happened[:10] == f"{passed.on}" else f"{passed.on}"
        telling = replace(telling, happened=happened)
        event = book.append(
            Noted(about="border crossing"), carnet.code, _with_words(telling, _sentence(passed))
        )
        row = CarnetCrossing.objects.create(
            collection=carnet.collection, carnet=carnet, on=passed.on, place=passed.place,
            country=passed.country, direction=passed.direction, voucher=passed.voucher,
            items=passed.items, stamped=passed.stamped, out_by=passed.out_by,
            entry=event.sequence, by=by.code,
        )  # fmt: skip
    return _photographed(row, by, passed)


def _photographed(row: CarnetCrossing, by: Membership, passed: Passed) -> CarnetCrossing:
    """Hang the photo of the counterfoil on the carnet as evidence for the crossing."""
    if passed.photo:
        row.photo = add_photo(
            collection=row.collection, by=by, subject=row.carnet.subject, data=passed.photo,
            caption=f"Counterfoil, {passed.place}", entry=row.entry,
        )  # fmt: skip
        row.save(update_fields=["photo"])
    return row


def _sentence(passed: Passed) -> str:
    stamp = "counterfoil stamped" if passed.stamped else "counterfoil NOT stamped"
    voucher = f", voucher {passed.voucher}" if passed.voucher else ""
    way = DIRECTIONS[passed.direction].capitalize()
    return f"{way}, {passed.country}, at {passed.place}{voucher}: {stamp}."


def put_right(
    *, crossing: CarnetCrossing, by: Membership, on: date, how: str,
    telling: Telling | None = None,
) -> CarnetCrossing:  # fmt: skip
    """A missing stamp has been put right: when, and by what."""
    with open_book(crossing.collection, by) as book:
        telling = as_told(book, telling)
        if book.sent_before(telling.once) or crossing.put_right_on:
            return crossing
        words = (
            f"The stamp missing of {day_words(crossing.on)}, {crossing.place}, is put right: {how}"
        )
        book.append(
            Noted(about="border crossing"), crossing.carnet.code, _with_words(telling, words)
        )
        crossing.put_right_on, crossing.put_right_how = on, how
        crossing.save(update_fields=["put_right_on", "put_right_how"])
        return crossing


def _with_words(telling: Telling, words: str) -> Telling:
    return replace(telling, words=" ".join(filter(None, (words, telling.words))))

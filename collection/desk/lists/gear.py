"""Pieces, places, people and loans as lists."""

from collections.abc import Iterator
from decimal import Decimal
from itertools import islice

from collection.catalogue import queries as catalogue
from collection.core.wording import amount
from collection.core.working import VERDICTS
from collection.custody import queries as custody
from collection.custody.loans.queries import LoanLine, loans
from collection.custody.queries import Node
from collection.custody.whereabouts import whereabouts
from collection.desk.as_of.forms import AsOfForm
from collection.desk.as_of.queries import AsOf, moment_of
from collection.desk.filters import PieceFilter
from collection.desk.lists.listing import Asked, Column, Listing
from collection.desk.queries import pieces as listed
from collection.desk.queries.pieces import PieceLine
from collection.desk.queries.whereabouts import places_for

AT_ONCE = 500


def money(minor: int | None, currency: str) -> Decimal | None:
    """An amount in the currency's own unit, as a number."""
    return None if minor is None else amount(minor, currency)


# -- pieces ----------------------------------------------------------------------------------
def _pieces(asked: Asked) -> Iterator[PieceLine]:
    """Every piece that the page would show, narrowed and sorted as there."""
    collection, places = asked.member.collection, places_for(asked.member)
    found = PieceFilter(
        asked.query,
        listed.listed(collection),
        places=places,
        circuits=catalogue.circuits(collection).values_list("name", flat=True),
        today=asked.today,
    )
    rows = found.qs.select_related("twin").iterator(chunk_size=AT_ONCE)
    while part := list(islice(rows, AT_ONCE)):
        yield from listed.lines(part, member=asked.member, places=places, today=asked.today)


def _value(line: PieceLine) -> Decimal | None:
    return money(line.piece.value_minor, line.piece.value_currency)


def _tag(line: PieceLine) -> str:
    if line.tagged_out:
        return "DO NOT POWER"
    return "proposed" if line.tag_proposed else ""


PIECES = Listing(
    "pieces",
    "Pieces",
    (
        Column("code", lambda line: line.piece.code),
        Column("called", lambda line: line.piece.called),
        Column("nickname", lambda line: line.piece.nickname),
        Column("kind", lambda line: line.piece.kind),
        Column("family", lambda line: line.piece.family),
        Column("maker", lambda line: str(line.piece.maker or "")),
        Column("circuit", lambda line: str(line.piece.circuit or "")),
        Column("serial", lambda line: line.piece.serial),
        Column("built (EDTF)", lambda line: line.piece.year),
        Column("standing", lambda line: listed.STANDINGS.get(line.stands, line.stands)),
        Column("where", lambda line: line.where),
        Column("working", lambda line: VERDICTS[line.working.verdict]),
        Column("tag", _tag),
        Column("open faults", lambda line: len(line.state.open_faults)),
        Column("kg", lambda line: _kilograms(line.piece.mass_grams)),
        Column("twin", lambda line: line.piece.twin.code if line.piece.twin else ""),
        Column("agreed value", _value, confidential=True),
        Column("currency", lambda line: line.piece.value_currency, confidential=True),
    ),
    _pieces,
)


def _kilograms(grams: int | None) -> Decimal | None:
    return None if grams is None else Decimal(grams) / 1000


# -- places, people --------------------------------------------------------------------------
def _places(asked: Asked) -> list[Node]:
    return custody.tree(asked.member.collection, whereabouts(asked.member))


def _inside(node: Node) -> str:
    return "".join(node.place.path.strip("/").split("/")[-2:-1])


PLACES = Listing(
    "places",
    "Places",
    (
        Column("code", lambda node: node.place.code),
        Column("name", lambda node: node.place.name),
        Column("kind", lambda node: node.place.kind),
        Column("inside", _inside),
        Column("town", lambda node: node.town),
        Column("country", lambda node: node.place.country),
        Column("pieces here", lambda node: node.here),
        Column("pieces in all inside", lambda node: node.within),
        Column("latitude", lambda node: node.place.latitude, confidential=True),
        Column("longitude", lambda node: node.place.longitude, confidential=True),
        Column("private", lambda node: node.place.private, confidential=True),
        Column("when somebody is there", lambda node: node.place.hours),
    ),
    _places,
)


def _parties(asked: Asked) -> Iterator[tuple]:
    counts = custody.holders(asked.member.collection)
    for party in custody.parties(asked.member.collection):
        yield (party, *counts.get(party.pk, (0, 0)))


PARTIES = Listing(
    "parties",
    "People and firms",
    (
        Column("code", lambda row: row[0].code),
        Column("name", lambda row: row[0].name),
        Column("what they are here", lambda row: row[0].does),
        Column("to outsiders", lambda row: row[0].outward),
        Column("pieces they have", lambda row: row[1]),
        Column("pieces they own", lambda row: row[2]),
        Column("telephone", lambda row: row[0].phone, confidential=True),
        Column("mail", lambda row: row[0].email, confidential=True),
        Column("note", lambda row: row[0].note, confidential=True),
    ),
    _parties,
)


# -- loans -----------------------------------------------------------------------------------
def _loans(asked: Asked) -> Iterator[tuple]:
    """A row a piece: a loan of three pieces has three."""
    for loan in loans(asked.member.collection):
        line = LoanLine(loan, asked.today)
        for row in loan.pieces.all():
            yield line, row


def _insured(pair: tuple) -> Decimal | None:
    return money(pair[0].loan.value_minor, pair[0].loan.currency)


LOANS = Listing(
    "loans",
    "Loans and hires",
    (
        Column("loan", lambda pair: pair[0].loan.code),
        Column("way", lambda pair: pair[0].loan.get_way_display()),
        Column("party", lambda pair: pair[0].loan.party.name),
        Column("piece", lambda pair: pair[1].piece.code),
        Column("called", lambda pair: pair[1].piece.called),
        Column("what for", lambda pair: pair[0].loan.reason),
        Column("from", lambda pair: pair[0].loan.begins_on),
        Column("until", lambda pair: pair[0].loan.ends_on),
        Column("given back", lambda pair: pair[1].back_on),
        Column("days overdue", lambda pair: pair[0].overdue_days),
        Column("covered by", lambda pair: pair[0].loan.insurer),
        Column("insured value", _insured, confidential=True),
        Column("currency", lambda pair: pair[0].loan.currency, confidential=True),
    ),
    _loans,
)


# -- as of a date ----------------------------------------------------------------------------
def _as_of(asked: Asked) -> Iterator[tuple]:
    """Every piece there was at the end of the day in the query; today's, where it names none."""
    form = AsOfForm(asked.query, today=asked.today)
    days = form.cleaned_data if form.is_valid() else {"at": asked.today, "known": None}
    collection = asked.member.collection
    moment = moment_of(collection, at=days["at"], known=days["known"])
    for line in AsOf(asked.member, moment).all():
        yield days["at"], line


def _worth(row: tuple) -> Decimal | None:
    return money(row[1].value_minor, row[1].currency)


AS_OF = Listing(
    "as-of",
    "Pieces as of a date",
    (
        Column("as of the end of", lambda row: row[0]),
        Column("code", lambda row: row[1].piece.code),
        Column("called", lambda row: row[1].piece.called),
        Column("serial", lambda row: row[1].piece.serial),
        Column("standing then", lambda row: row[1].standing),
        Column("owner then", lambda row: row[1].owner),
        Column("who had it then", lambda row: row[1].holder),
        Column("where then", lambda row: row[1].where),
        Column("value then", _worth, confidential=True),
        Column("currency", lambda row: row[1].currency, confidential=True),
        Column("valued on", lambda row: row[1].then.valued_on, confidential=True),
    ),
    _as_of,
)

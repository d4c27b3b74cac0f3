"""The list of goods as a paper, landscape, in our own look: no chamber's form is drawn here."""

import hashlib
from datetime import datetime
from typing import Any

from collection.core.customs import Row, Totals
from collection.core.date_sentence import day_words
from collection.core.wording import money
from collection.ledger.proof import root_of
from collection.papers.borders.queries import Borders, GoodsList
from collection.papers.made import record_paper
from collection.papers.models import PaperMade
from registry.access.models import Membership
from registry.typesetting import typeset


def make_list(*, page: Borders, by: Membership, now: datetime, once: str = "") -> bytes:
    """The list as PDF; who made it and its hash are kept."""
    carnet = page.carnet
    title = f"List of goods, {carnet}, {page.tour.name}"
    pdf = typeset("borders/list", _data(page, page.goods), title=title, made_at=now)
    size, root = root_of(carnet.collection)
    record_paper(
        PaperMade(
            collection=carnet.collection, paper=PaperMade.Paper.GOODS_LIST,
            subject=carnet.subject, made_at=now, made_by=by.code,
            sha256=hashlib.sha256(pdf).hexdigest(), byte_count=len(pdf), book_size=size, root=root,
        ),
        once,
    )  # fmt: skip
    return pdf


def _data(page: Borders, listed: GoodsList) -> dict[str, Any]:
    carnet = page.carnet
    return {
        "code": carnet.code,
        "collection": carnet.collection.name,
        "tour": page.tour.name,
        "as_of": day_words(page.today),
        "issued": carnet.issued,
        "currency": carnet.currency,
        "paper": [list(pair) for pair in _paper(page)],
        "rows": [_row(line.row, carnet.currency) for line in listed.lines],
        "totals": _totals(listed.totals),
    }


def _paper(page: Borders) -> list[tuple[str, str]]:
    carnet = page.carnet
    return [
        ("Carnet", carnet.number),
        ("Issued by", carnet.chamber),
        ("Holder", carnet.holder),
        ("Travels with it", carnet.traveller),
        ("Issued on", day_words(carnet.issued_on) if carnet.issued_on else ""),
        ("Valid until", day_words(carnet.valid_until) if carnet.valid_until else ""),
    ]


def _row(row: Row, currency: str) -> list[str]:
    return [
        row.numbers, row.description, str(row.pieces), kilograms(row.grams),
        _value(row, currency), row.goods.made_in,
    ]  # fmt: skip


def _value(row: Row, currency: str) -> str:
    value = row.value_minor
    return "" if value is None else money(value, row.goods.currency or currency)


def kilograms(grams: int | None) -> str:
    """'14.5 kg'; '' where nobody weighed it."""
    return "" if grams is None else f"{grams / 1000:,.1f} kg"


def _totals(total: Totals) -> dict[str, str]:
    return {
        "items": str(total.items),
        "pieces": str(total.pieces),
        "mass": kilograms(total.grams),
        "value": money(total.value_minor, total.currency),
        "pieces_in_words": total.pieces_in_words,
        "value_in_words": total.value_in_words,
        "unweighed": str(total.unweighed or ""),
        "unvalued": str(total.unvalued or ""),
    }

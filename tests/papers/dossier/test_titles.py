"""Clauses of provenance out of entries on title; names and roles are our own invention.

The wording is tested in tests/core/test_provenance.py, with its sources.
"""

import pytest

from collection.core.events.acquired import Acquired
from collection.core.events.sold import Sold
from collection.core.events.title_changed import TitleChanged
from collection.core.notice import Secrets
from collection.core.provenance import provenance
from collection.custody.models import Party
from collection.custody.whereabouts import Whereabouts
from collection.ledger.models import Event
from collection.papers.dossier.private import Privacy
from collection.papers.dossier.titles import clauses_of

PARTIES = {
    "N-1": Party(code="N-1", name="Elspeth Muir", outward="a pub player"),
    "N-2": Party(code="N-2", name="Brae Music", does="dealer in Leith"),
    "N-3": Party(code="N-3", name="Bo Lindgren"),
}


def entry(facts, happened, number, **how):
    return Event(
        kind=facts.kind, facts=facts.to_facts(), happened=happened, sequence=number,
        **{"source": "document", "certainty": "certain", **how},
    )  # fmt: skip


def said(*entries, named=()):
    privacy = Privacy(Whereabouts({}, sees_private=True), PARTIES, Secrets())
    noted = [(one, one.source_note) for one in entries]
    clauses = clauses_of(noted, collection="Mirren Vale", privacy=privacy, named=frozenset(named))
    return provenance(clauses)


def test_whoever_it_came_from_stands_before_us_with_the_day_it_ended():
    bought = Acquired("bought", from_whom="N-1", direct=True)
    made = said(entry(bought, "2011-05-02", 7))
    assert made.paragraph == (
        "A pub player, until May 2, 2011; purchased by Mirren Vale, May 2, 2011 [1]."
    )
    assert made.notes == ("Document, entry 7.",)


@pytest.mark.parametrize("direct", [None, False])
def test_what_is_not_known_to_be_direct_is_a_gap(direct):
    bought = Acquired("bought", from_whom="N-1", direct=direct)
    assert ". Purchased by" in said(entry(bought, "2011", 7)).paragraph


def test_a_dealer_stands_in_parentheses_and_is_named_only_by_choice():
    bought = entry(Acquired("bought", from_whom="N-2", direct=True), "1999", 3)
    assert said(bought, named={"N-2"}).paragraph.startswith("(Brae Music, until 1999); purchased")
    assert said(bought).paragraph.startswith("(Private collection, until 1999);")


def test_a_later_owner_ends_the_one_before():
    made = said(
        entry(Acquired("given"), "2006", 3),
        entry(TitleChanged("N-3"), "2026-11-21", 9, certainty="likely", source="told"),
        named={"N-3"},
    )
    assert made.paragraph == (
        "Given to Mirren Vale, 2006 until November 21, 2026 [1]. "
        "Probably acquired by Bo Lindgren, November 21, 2026 [2]."
    )


def test_a_sale_by_us_is_direct():
    made = said(entry(Acquired("bought"), "2006", 3), entry(Sold("N-3"), "2027", 9))
    assert "; purchased by private collection, 2027" in made.paragraph


def test_a_sale_to_nobody_known_is_an_unknown_collector():
    made = said(entry(Acquired("bought"), "2006", 3), entry(Sold(), "2027", 9))
    assert "; purchased by unknown collector, 2027" in made.paragraph


def test_a_moment_is_written_as_its_day():
    made = said(entry(Acquired("found"), "2026-03-14T12:15:00+01:00", 3))
    assert made.paragraph == "Found by Mirren Vale, March 14, 2026 [1]."

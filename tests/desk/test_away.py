"""Who has what, on one page."""

from datetime import timedelta

import pytest

from collection.bench.jobs import actions as jobs
from collection.custody.actions import add_party, add_place, move
from collection.custody.freight import actions as freight
from collection.custody.loans import actions as loans
from collection.desk.away import away
from collection.desk.post.summary import weekly
from registry import clock
from tests.bench.builders import a_piece

pytestmark = pytest.mark.django_db


def everything(by, times: int = 1) -> dict:
    """One of each way in which something can be with somebody else, so many times."""
    where, today = {"collection": by.collection, "by": by}, clock.today(by.collection.zone_info)
    who = add_party(**where, name="A studio in Leith")
    hall = add_place(**where, name="Hall", kind="venue")
    codes = {name: [] for name in ("lent", "job", "way", "held", "ours")}
    for _ in range(times):
        for name in codes:
            codes[name].append(a_piece(by).code)
        terms = loans.Terms("film", today - timedelta(days=9), today - timedelta(days=2), "Mirren")
        loans.lend(**where, pieces=[loans.Handed(codes["lent"][-1])], to=who, terms=terms)
        jobs.send(**where, pieces=[codes["job"][-1]], repairer=who, terms=jobs.Terms("hums"))
        coming = freight.Way(to=hall, expected_at=clock.now() + timedelta(hours=2))
        freight.ship(**where, things=[codes["way"][-1]], way=coming)
        move(**where, code=codes["held"][-1], to=hall.code, holder=who.code)
    return codes


def test_everything_that_is_out_is_listed_once(keeper, keeper_client):
    codes = everything(keeper)
    page = keeper_client.get(f"/{keeper.collection.slug}/away/").content.decode()
    main = page[page.index("<main") : page.index("</main>")]
    for name in ("lent", "job", "way", "held"):
        assert main.count(f"{codes[name][0]} ") + main.count(f">{codes[name][0]}<") == 1, name
    assert codes["ours"][0] not in main


def test_what_is_late_is_counted(keeper):
    everything(keeper)
    now = clock.now()
    assert (away(keeper.collection, now=now).count, away(keeper.collection, now=now).late) == (4, 1)
    later = now + timedelta(hours=3)
    assert away(keeper.collection, now=later).late == 2


def test_what_went_back_to_its_owner_is_not_out(keeper, keeper_client):
    piece, owner = a_piece(keeper), add_party(collection=keeper.collection, by=keeper, name="Bo")
    today = clock.today(keeper.collection.zone_info)
    terms = loans.Terms("the tour", today, today + timedelta(days=5), "Ines")
    where = {"collection": keeper.collection, "by": keeper}
    loan = loans.take_in(**where, pieces=[loans.Handed(piece.code)], of=owner, terms=terms)
    loans.give_back(loan=loan, by=keeper, back=loans.Back(piece))
    found = away(keeper.collection, now=clock.now())
    assert (found.count, found.held) == (0, [])
    page = keeper_client.get(f"/{keeper.collection.slug}/pieces/{piece.code}/").content.decode()
    assert "given back" in page


def test_the_page_asks_the_same_few_queries(keeper, keeper_client, django_assert_max_num_queries):
    url = f"/{keeper.collection.slug}/away/"
    everything(keeper)
    with django_assert_max_num_queries(18) as few:
        keeper_client.get(url)
    everything(keeper, times=3)
    with django_assert_max_num_queries(len(few)):
        keeper_client.get(url)


def test_an_overdue_loan_stands_on_the_due_list_and_in_the_weeks_letter(keeper, keeper_client):
    codes = everything(keeper)
    page = keeper_client.get(f"/{keeper.collection.slug}/due/").content.decode()
    assert "overdue by 2 days" in page
    assert codes["lent"][0] in page
    letter = weekly(keeper.collection, today=clock.today(keeper.collection.zone_info))
    assert f"LN-001: {codes['lent'][0]}, until" in letter.body
    assert "Leith" not in letter.body

"""Lists at the end of a day: what had happened by then, or what the book knew of it by then."""

import re
from datetime import date, timedelta
from unittest import mock

import pytest

from collection.catalogue.actions import add_piece
from collection.core.events.acquired import Acquired
from collection.core.events.documented import Documented
from collection.core.events.sold import Sold
from collection.core.events.title_changed import TitleChanged
from collection.core.events.valued import Valued
from collection.custody import actions as custody
from collection.desk.as_of.queries import AsOf, moment_of, titles_of
from collection.ledger.actions import correct, open_book, withdraw
from collection.ledger.models import State
from collection.ledger.telling import Telling
from registry import clock
from tests.builders import client_of

pytestmark = pytest.mark.django_db
CODE = "A-001"


def say(by, facts, happened, *, code=CODE):
    with open_book(by.collection, by) as book:
        return book.append(facts, code, Telling(happened))


@pytest.fixture
def story(keeper):
    """Bought 2011 by Mirren, valued twice, moved twice, Jonah's since 2024, sold in 2025."""
    who = {"collection": keeper.collection, "by": keeper}
    for code, name in (("N-001", "Mirren Vale"), ("N-002", "Jonah Rae"), ("N-003", "Hale")):
        custody.add_party(**who, code=code, name=name)
    custody.add_place(**who, code="P-001", name="Carlisle bay", kind="site")
    custody.add_place(**who, code="P-002", name="The cellar", kind="house", private=True)
    custody.add_place(**who, code="CASE-07", name="Case 07", kind="case")
    add_piece(**who, code=CODE, kind="amplifier", name="Harbour 50")
    say(keeper, Acquired("bought", owner="N-001"), "2011-05-02")
    say(keeper, Valued(500000, "EUR"), "2015")
    say(keeper, Valued(620000, "EUR"), "2022-03-01")
    custody.move(**who, code="CASE-07", to="P-001", telling=Telling("2020-01-01"))
    custody.move(**who, code="CASE-07", to="P-002", telling=Telling("2023-01-01"))
    custody.move(**who, code=CODE, to="CASE-07", telling=Telling("2021-06-01"))
    say(keeper, TitleChanged(owner="N-002"), "2024-02-01")
    say(keeper, Sold(to="N-003"), "2025-08-10")
    return keeper


def line(member, at, known=None):
    """The piece at the end of a day, None where it was not there yet."""
    days = {name: date.fromisoformat(day) if day else None for name, day in
            (("at", at), ("known", known))}  # fmt: skip
    moment = moment_of(member.collection, **days)
    asked = AsOf(member, moment)
    found = asked.of(asked.there().filter(code=CODE))
    return found[0] if found else None


def page(member, query):
    return client_of(member).get(f"/{member.collection.slug}/as-of/?{query}")


@pytest.mark.parametrize(
    ("at", "owner", "where", "value", "standing"),
    [
        ("2011-05-02", "Mirren Vale", "", None, "held, with us"),
        ("2015-01-01", "Mirren Vale", "", 500000, "held, with us"),
        ("2022-02-28", "Mirren Vale", "Case 07, Carlisle bay", 500000, "held, with us"),
        ("2022-03-01", "Mirren Vale", "Case 07, Carlisle bay", 620000, "held, with us"),
        ("2023-06-01", "Mirren Vale", "Case 07, The cellar", 620000, "held, with us"),
        ("2024-02-01", "Jonah Rae", "Case 07, The cellar", 620000, "held, with us"),
        ("2025-08-10", "Hale", "Case 07, The cellar", 620000, "sold"),
    ],
)
def test_a_day_shows_whose_where_and_what_it_was_worth_then(
    story, at, owner, where, value, standing
):
    found = line(story, at)
    assert (found.value_minor, found.standing) == (value, standing)
    assert found.where == where
    if standing != "sold":
        assert found.owner == owner


def test_before_its_first_entry_a_piece_was_not_there(keeper):
    who = {"collection": keeper.collection, "by": keeper}
    add_piece(**who, code=CODE, kind="amplifier", name="Harbour 50")
    day = clock.today(keeper.collection.zone_info)
    assert line(keeper, (day - timedelta(days=1)).isoformat()) is None
    assert line(keeper, day.isoformat()) is not None


def test_an_old_paper_about_a_piece_does_not_make_it_ours_then(story):
    say(story, Documented(what="photo", dated="1964"), "1964")
    assert line(story, "1970-01-01") is None
    assert line(story, "2011-05-01") is None
    assert line(story, "2011-05-02") is not None


def test_today_says_what_the_stored_states_say(story):
    today = clock.today(story.collection.zone_info).isoformat()
    state = State.objects.of(story.collection).get(subject__code=CODE)
    then = line(story, today).then.state
    assert then.standing == state.standing
    assert then.place == state.place.code
    assert then.owner == (state.owner.code if state.owner else None)


def test_a_correction_moves_what_a_day_shows_and_a_withdrawal_takes_it_out(story):
    who = {"collection": story.collection, "by": story}
    valued = say(story, Valued(700000, "EUR"), "2023-01-01")
    assert line(story, "2023-06-01").value_minor == 700000
    fixed = correct(
        **who, event=valued, facts={"value_minor": 710000, "currency": "EUR"},
        telling=Telling("2024-01-01"),
    )  # fmt: skip
    assert line(story, "2023-06-01").value_minor == 620000
    assert line(story, "2024-06-01").value_minor == 710000
    withdraw(**who, event=fixed, because="never valued")
    assert line(story, "2024-06-01").value_minor == 620000


def test_as_known_on_a_day_leaves_out_what_was_recorded_or_put_right_later(story):
    today = clock.today(story.collection.zone_info)
    later = clock.now() + timedelta(days=3)
    moved_on = (today + timedelta(days=3)).isoformat()
    first = say(story, Valued(700000, "EUR"), "2023-01-01")
    with mock.patch.object(clock, "now", return_value=later):
        correct(
            collection=story.collection, by=story, event=first,
            facts={"value_minor": 710000, "currency": "EUR"}, telling=Telling("2024-01-01"),
        )  # fmt: skip
        say(story, TitleChanged(owner="N-003"), "2012-01-01")
    assert line(story, "2023-06-01", today.isoformat()).value_minor == 700000
    assert line(story, "2023-06-01", today.isoformat()).owner == "Mirren Vale"
    assert line(story, "2023-06-01", moved_on).value_minor == 620000
    assert line(story, "2023-06-01", moved_on).owner == "Hale"


def test_titles_add_up_by_owner_without_what_had_left(story):
    assert [(t.owner, t.pieces, t.values) for t in titles_of([line(story, "2023-06-01")])] == [
        ("Mirren Vale", 1, ((620000, "EUR"),))
    ]
    assert titles_of([line(story, "2025-12-31")]) == []


def test_who_only_looks_sees_no_value_and_no_private_place(story, viewer):
    answer = page(viewer, "at=2023-06-01")
    seen = answer.content.decode()
    assert "Harbour 50" in seen
    assert "The cellar" not in seen
    assert "6,200" not in seen
    assert "The cellar" in page(story, "at=2023-06-01").content.decode()


def test_the_day_of_a_valuation_stands_in_words_under_the_sum(story):
    seen = page(story, "at=2023-06-01").content.decode()
    assert re.search(r"6,200\.00\sEUR<br><span[^>]*>valued 1 March 2022<", seen)


def test_the_list_of_pieces_takes_the_same_question(story):
    address = f"/{story.collection.slug}/pieces/?at=2023-06-01"
    answer = client_of(story).get(address, follow=True)
    assert answer.redirect_chain[0][0] == f"/{story.collection.slug}/as-of/?at=2023-06-01"
    assert "Mirren Vale" in answer.content.decode()


def test_the_day_as_a_file_says_the_day_in_every_row(story):
    answer = client_of(story).get(f"/{story.collection.slug}/lists/as-of/?at=2023-06-01")
    rows = b"".join(answer.streaming_content).decode().splitlines()
    assert rows[1].startswith("2023-06-01,A-001,")
    assert "Mirren Vale" in rows[1]
    assert "6200.00,EUR,2022-03-01" in rows[1]


@pytest.mark.parametrize("query", ["at=2025-02-30", "at=2999-01-01", "known=2025-01-01"])
def test_a_day_that_is_none_or_has_not_come_is_refused_in_words(keeper, query):
    answer = page(keeper, query)
    assert answer.status_code == 422
    assert "wrong" in answer.content.decode()


def test_a_day_asks_no_more_for_more_pieces(story, django_assert_max_num_queries):
    for n in range(30):
        add_piece(
            collection=story.collection, by=story, code=f"B-{n:03}", kind="amplifier", name="Twelve"
        )
    client, day = client_of(story), clock.today(story.collection.zone_info)
    with django_assert_max_num_queries(16):
        answer = client.get(f"/{story.collection.slug}/as-of/?at={day}")
    assert answer.content.decode().count("B-0") >= 30

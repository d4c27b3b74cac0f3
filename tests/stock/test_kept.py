"""A what-if answers from memory, and never with an old stock."""

import re

import pytest

from collection.stock import actions, queries
from collection.stock.queries import kept
from tests.builders import client_of
from tests.stock.shelves import Desk, a_show, output_tubes, pairs, the_worked_case

pytestmark = pytest.mark.django_db


def _asked(desk: Desk, **query: object) -> str:
    page = client_of(desk.member).get(
        desk.url("type/EL34/"), query or {"buy": 60}, headers={"HX-Request": "true"}
    )
    assert page.status_code == 200
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", page.content.decode()))


def _hand_rule(desk: Desk) -> tuple[float, float]:
    now, then = re.search(r"hand rule ([\d.]+) years ([\d.]+) years", _asked(desk)).groups()
    return float(now), float(then)


def test_every_change_is_seen_by_the_next_what_if():
    """60 pairs x 60 h / (2 x 120 x 1.5) = 10 years; each line changes one factor of it."""
    desk = the_worked_case()
    kind = output_tubes(desk)
    assert _hand_rule(desk) == (10.0, 20.0)
    pairs(desk, kind, 30)
    assert _hand_rule(desk) == (15.0, 25.0)
    actions.choose_pull(**desk.who, type=kind, pull_hours=120, because="they last")
    assert _hand_rule(desk) == (30.0, 50.0)
    actions.set_outlook(**desk.who, type=kind, shows_per_year=240)
    assert _hand_rule(desk) == (15.0, 25.0)
    a_show(desk, "W-001", days_ago=3, pieces=("A-007",))  # the other head stands by from now on
    assert _hand_rule(desk) == (30.0, 50.0)
    actions.change_type(type=kind, set_size=4)
    assert "hand rule" in _asked(desk)


def test_a_what_if_in_memory_asks_few_queries(django_assert_max_num_queries):
    desk = the_worked_case()
    _asked(desk)
    client = client_of(desk.member)
    ask = {"path": desk.url("type/EL34/"), "headers": {"HX-Request": "true"}}
    client.get(**ask, query_params={"buy": 61})
    with django_assert_max_num_queries(11):
        client.get(**ask, query_params={"buy": 62})


def test_the_first_what_if_after_a_page_is_answered_from_memory(django_assert_max_num_queries):
    desk = the_worked_case()
    client, page = client_of(desk.member), desk.url("type/EL34/")
    client.get(page)
    with django_assert_max_num_queries(11):
        client.get(page, {"buy": 60}, headers={"HX-Request": "true"})


def test_a_full_page_reads_everything_again_whatever_is_kept(monkeypatch):
    desk = the_worked_case()
    client, page = client_of(desk.member), desk.url("type/EL34/")
    client.get(page)
    read = []
    monkeypatch.setattr(kept, "shelf", lambda of: read.append(of) or queries.shelf(of))
    client.get(page)
    assert read == [desk.member.collection]


def test_the_same_question_has_the_same_answer_from_memory_or_not():
    desk = the_worked_case()
    kept = _asked(desk, buy=20)
    page = client_of(desk.member).get(desk.url("type/EL34/"), {"buy": 20}).content.decode()
    whole = re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", page))
    row = re.search(r"even chance [\d.]+ years, \d+ [\d.]+ years, \d+", kept)[0]
    assert row in whole
    assert queries.shelf(desk.member.collection).stock("EL34").name == "EL34"

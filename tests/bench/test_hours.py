"""Hours on two clocks: sessions, what was left on, meters beside the log."""

import pytest

from collection.bench.hours.actions import read_meter
from collection.bench.hours.queries import hours_of
from collection.catalogue.actions import add_piece
from collection.ledger.actions import correct
from collection.ledger.models import Event
from collection.ledger.queries import questions_of
from collection.ledger.telling import Telling
from collection.road.actions.sessions import left_on, log_session
from collection.road.models import Session
from collection.stock import actions as stock
from collection.stock import queries
from collection.stock.queries.log import log_of
from collection.stock.use import use_of
from tests.builders import client_of
from tests.stock.shelves import Desk, a_desk, a_show, heads, output_tubes, pairs

pytestmark = pytest.mark.django_db


def _fitted() -> tuple[Desk, str]:
    desk = a_desk()
    heads(desk, "A-007")
    lot = pairs(desk, output_tubes(desk), 4)
    part = stock.issue(**desk.who, lot=lot, units=1, piece="A-007", position="output")
    return desk, part.code


def _hours(desk: Desk, part: str) -> tuple[float, float]:
    log = log_of(desk.member.collection, [part])
    return log.ran(part, "ht").hours, log.ran(part, "heater").hours


def test_a_rehearsal_ages_what_is_fitted_like_a_show():
    desk, part = _fitted()
    log_session(**desk.who, kind="rehearsal", pieces=["A-007"], heater_hours="3", ht_hours="2")
    assert _hours(desk, part) == (2, 3)


def test_what_was_left_on_burns_the_heater_clock_only():
    desk, part = _fitted()
    left_on(**desk.who, pieces=["A-007"], hours="9.5")
    assert _hours(desk, part) == (0, 9.5)


def test_a_corrected_show_carries_the_hours_along():
    desk, part = _fitted()
    show = a_show(desk, "W-001", days_ago=0.01, pieces=("A-007",), ht="1.5")
    correct(**desk.who, event=show, facts={**show.facts, "ht_hours": "2.5"},
            telling=_as_it_was(show))  # fmt: skip
    assert _hours(desk, part) == (2.5, 3)


def _as_it_was(event: Event) -> Telling:
    return Telling(happened=event.happened)


def test_a_session_is_no_show_of_the_year_yet_its_hours_count():
    """Two shows of 1.5 h and a rehearsal of 1 h: 2 shows, 2 h HT a show."""
    desk, _ = _fitted()
    for day in (2, 1):
        a_show(desk, f"W-{day}", days_ago=day, pieces=("A-007",), ht="1.5")
    log_session(**desk.who, kind="rehearsal", pieces=["A-007"], heater_hours="2", ht_hours="1")
    shelf = queries.shelf(desk.member.collection)
    today = max(show.on for show in shelf.shows)
    use = use_of(shelf.shows, None, clock="ht", today=today)
    assert use.shows_logged == 2
    assert use.usage.hours_per_show == pytest.approx(2.0)


def test_a_meter_is_set_against_the_log():
    """The meter ran 12 h between two readings, the log knows of 9."""
    desk, _ = _fitted()
    piece = add_piece(**desk.who, code="E-002", kind="effect")
    read_meter(**desk.who, code="E-002", hours="100")
    left_on(**desk.who, pieces=["E-002"], hours="9")
    read_meter(**desk.who, code="E-002", hours="112")
    newest, first = hours_of(piece).readings
    assert (newest.by_meter, newest.by_log, newest.differs) == (12, 9, 3)
    assert (first.by_meter, first.differs) == (None, None)


@pytest.mark.parametrize(
    ("reading", "asked"),
    [({"hours": "99"}, "it went back or was replaced"),
     ({"hours": "0", "replaced": True}, "What did it say when it came out?")],
)  # fmt: skip
def test_a_meter_that_goes_back_or_was_replaced_is_written_and_asked(reading, asked):
    desk = a_desk()
    add_piece(**desk.who, code="E-002", kind="effect")
    read_meter(**desk.who, code="E-002", hours="100")
    event = read_meter(**desk.who, code="E-002", **reading)
    assert event.facts["hours"] == reading["hours"]
    (question,) = questions_of(event)
    assert asked in question.facts["question"]


# -- pages ---------------------------------------------------------------------------------------
def _url(desk: Desk, rest: str) -> str:
    return f"/{desk.member.collection.slug}/{rest}"


def test_a_session_is_logged_on_its_page_and_listed():
    desk, part = _fitted()
    client = client_of(desk.member)
    assert client.get(_url(desk, "road/sessions/log/?kind=left-on&piece=A-007")).status_code == 200
    sent = {"kind": "rehearsal", "pieces": ["A-007"], "heater_hours": "3", "ht_hours": "2.50"}
    for _ in range(2):
        answer = client.post(_url(desk, "road/sessions/log/"), {**sent, "once": "c0ffee"})
    assert answer.status_code == 302
    assert Session.objects.of(desk.member.collection).count() == 1
    page = client.get(_url(desk, "road/sessions/")).content.decode()
    assert "Rehearsed with A-007; 2.5 h HT, 3 h heaters." in page
    assert _hours(desk, part) == (2.5, 3)


@pytest.mark.parametrize(
    ("sent", "said"),
    [({"kind": "bench", "heater_hours": "1", "ht_hours": "2"}, "longer than the heaters"),
     ({"kind": "left-on", "heater_hours": "3", "ht_hours": "2"}, "counts the heaters only")],
)  # fmt: skip
def test_hours_that_cannot_be_come_back(sent, said):
    desk, _ = _fitted()
    page = client_of(desk.member).post(
        _url(desk, "road/sessions/log/"), {**sent, "pieces": "A-007"}
    )
    assert page.status_code == 422
    assert said in page.content.decode()


def test_a_meter_is_read_on_the_page_of_hours():
    desk, _ = _fitted()
    client = client_of(desk.member)
    client.post(_url(desk, "bench/hours/A-007/"), {"hours": "100", "clock_of": "heater"})
    a_show(desk, "W-001", days_ago=0, pieces=("A-007",))
    client.post(_url(desk, "bench/hours/A-007/"), {"hours": "105", "clock_of": "heater"})
    page = client.get(_url(desk, "bench/hours/A-007/")).content.decode()
    assert "<td>105 h</td><td>5 h</td>" in page


@pytest.mark.parametrize(
    ("last", "typed", "said", "instead"),
    [("1204", "12040", "The last was 1,204 h, this says 12,040 h. Did you mean 1204?", "1204"),
     ("1204", "1198", "The last was 1,204 h, this says 1,198 h.", None)],
)  # fmt: skip
def test_a_meter_that_jumps_or_goes_back_is_asked_once_before_it_is_written(
    last, typed, said, instead
):
    desk, _ = _fitted()
    read_meter(**desk.who, code="A-007", hours=last)
    client, path = client_of(desk.member), _url(desk, "bench/hours/A-007/")
    asked = client.post(path, {"hours": typed, "clock_of": "heater", "words": "by torch"})
    assert asked.status_code == 422
    page = asked.content.decode()
    assert said in page
    assert f'name="sure" value="hours={typed}"' in page
    assert (f'name="use" value="hours={instead}"' in page) is bool(instead)
    assert "by torch" in page
    assert _meters(desk) == [last]
    again = {"hours": typed, "clock_of": "heater", "sure": f"hours={typed}"}
    assert client.post(path, again).status_code == 302
    assert _meters(desk) == [last, typed]


def test_a_new_meter_is_not_asked_why_it_starts_low():
    desk, _ = _fitted()
    read_meter(**desk.who, code="A-007", hours="1204")
    client, path = client_of(desk.member), _url(desk, "bench/hours/A-007/")
    sent = {"hours": "0", "clock_of": "heater", "replaced": "on", "old_read": "12500"}
    assert "this says 12,500 h" in client.post(path, sent).content.decode()
    assert client.post(path, {**sent, "old_read": "1250"}).status_code == 302


def _meters(desk: Desk) -> list[str]:
    rows = Event.objects.of(desk.member.collection).filter(kind="meter_read").order_by("sequence")
    return [row.facts["hours"] for row in rows]


def test_a_viewer_reads_hours_and_writes_none():
    desk = a_desk(role="viewer")
    heads(desk, "A-007")
    client = client_of(desk.member)
    assert client.get(_url(desk, "bench/hours/A-007/")).status_code == 200
    assert client.post(_url(desk, "bench/hours/A-007/"), {"hours": "1"}).status_code == 403
    assert client.post(_url(desk, "road/sessions/log/"), {}).status_code == 403


def test_the_page_of_hours_takes_the_same_queries_however_long_it_ran(
    django_assert_num_queries,
):
    desk, _ = _fitted()
    for day in range(1, 9):
        a_show(desk, f"W-{day}", days_ago=day, pieces=("A-007",))
    piece = stock_piece(desk)
    with django_assert_num_queries(2):
        hours_of(piece)


def stock_piece(desk: Desk):
    return queries.pieces_to_fit(desk.member.collection).select_related("collection").get()

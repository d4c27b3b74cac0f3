"""Received = the sum of all buckets at every moment, whatever is written, corrected, taken back."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra.django import TestCase

from collection.catalogue.actions import add_piece
from collection.core.events import facts_of
from collection.core.events.received import Received
from collection.ledger.actions import open_book, withdraw
from collection.ledger.models import Event
from collection.ledger.telling import Telling
from collection.stock import actions, queries
from collection.stock.flow.actions import keep_out
from collection.stock.flow.history import against_the_note, as_of, moments_of, picture
from collection.stock.models import Part
from tests.builders import client_of
from tests.stock.shelves import Desk, a_desk, output_tubes

small = st.integers(1, 6)
# Days fall anywhere, so that entries come in another order than they happened.
days = st.integers(1, 28).map(lambda day: f"2026-02-{day:02}")
buckets = st.sampled_from(["sealed", "tested:show", "pulled:show"])
steps = st.one_of(
    st.tuples(st.just("receive"), days, small, st.none() | small),
    st.tuples(st.just("test"), days, small, small, st.integers(-2, 2)),
    st.tuples(st.just("issue"), days, small, st.sampled_from(["sealed", "show", "pulled:show"])),
    st.tuples(st.just("pull"), days, st.sampled_from(["show", "bench", "V1-quiet"])),
    st.tuples(st.just("die"), days),
    st.tuples(st.just("write_off"), days, small, buckets),
    st.tuples(st.just("find_again"), days, small),
    st.tuples(st.just("count"), days, st.integers(0, 8), buckets),
    st.tuples(st.just("keep_out"), days, small, buckets),
    st.tuples(st.just("put_back"), days, small),
    st.tuples(st.just("correct"), days, st.integers(0, 30), small),
    st.tuples(st.just("withdraw"), days, st.integers(0, 30)),
)


def _act(desk: Desk, lot, what: str, on: str, *more):
    """Do one step through the actions that pages call."""
    who = {**desk.who, "lot": lot, "telling": Telling(happened=on)}
    newest = Part.objects.of(desk.member.collection).filter(lot=lot).order_by("-pk").first()
    taken_out = {**desk.who, "part": newest, "telling": Telling(happened=on)}
    if what == "receive":
        actions.receive(**who, units=more[0], delivery_note_units=more[1])
    elif what == "test":
        good, bad, unlike = more  # what was tried and what was graded need not come out alike
        tried = max(1, good + bad + unlike)
        actions.test(**who, units=tried, passed={"show": good}, failed=bad)
    elif what == "issue":
        actions.issue(**who, units=more[0], grade=more[1], piece="A-007", position="V1")
    elif what == "pull" and newest:
        actions.pull(**taken_out, hours=60, grade=more[0])
    elif what == "die" and newest:
        actions.die(**taken_out, hours=60, how="hum")
    elif what == "write_off":
        actions.write_off(**who, units=more[0], bucket=more[1], because="dropped")
    elif what == "find_again":
        actions.find_again(**who, units=more[0])
    elif what == "count":
        actions.count(**who, seen={more[1]: more[0]})
    elif what == "keep_out":
        keep_out(**who, units=more[0], bucket=more[1])
    elif what == "put_back":
        keep_out(**who, units=more[0], bucket="kept-out", back_to="sealed")
    elif what in {"correct", "withdraw"}:
        _mend(desk, lot, what, on, *more)


def _mend(desk: Desk, lot, what: str, on: str, number: int, units: int = 0) -> None:
    """Correct the day and units of an effective entry of the lot, or take it back."""
    corrected = set(
        Event.objects.of(desk.member.collection).exclude(corrects=None).values_list(
            "corrects", flat=True
        )
    )  # fmt: skip
    mine = Event.objects.filter(subject=lot.subject).exclude(kind__in=("described", "withdrawn"))
    found = [event for event in mine.order_by("sequence") if event.sequence not in corrected]
    if not found:
        return
    event = found[number % len(found)]
    if what == "withdraw":
        withdraw(**desk.who, event=event, because="wrong lot")
    elif event.kind in AGAIN:
        _told_again(desk, event, on, units)


AGAIN = {  # what an entry is corrected to, by kind
    "received": lambda facts, units: Received(units),
    "tested": lambda facts, units: replace(facts, units=units),
    "issued": lambda facts, units: replace(facts, units=units),
    "pulled": lambda facts, units: replace(facts, units=units, grade="bench"),
    "written_off": lambda facts, units: replace(facts, units=units, to="dead"),
    "counted": lambda facts, units: replace(facts, seen=(("sealed", units), ("dead", 1))),
}


def _told_again(desk: Desk, event: Event, on: str, units: int) -> None:
    """The same act, told again with another number and another day."""
    facts = facts_of(event.kind, event.facts, event.facts_version)
    with open_book(desk.member.collection, desk.member) as book:
        book.append(
            AGAIN[event.kind](facts, units), event.subject.code, Telling(happened=on),
            corrects=event.sequence,
        )  # fmt: skip


def _received(lot, until: str = "9999") -> int:
    """Units of the deliveries that stand, read from the rows and not from the fold."""
    events = {e.sequence: e for e in Event.objects.filter(subject=lot.subject)}
    corrected = {e.corrects for e in events.values()}
    standing = [e for e in events.values() if e.sequence not in corrected and e.kind == "received"]
    return sum(e.facts["units"] for e in standing if e.happened <= until)


class EveryMoment(TestCase):
    """Random histories with corrections, withdrawals and contradictions."""

    @settings(max_examples=25, deadline=None)
    @given(st.lists(steps, min_size=1, max_size=12))
    def test_what_was_received_is_somewhere_at_every_moment(self, sequence):
        desk = a_desk()
        add_piece(**desk.who, code="A-007", kind="amplifier")
        lot = actions.add_lot(**desk.who, type=output_tubes(desk))
        for step in sequence:
            _act(desk, lot, *step)
        moments = moments_of(lot)
        assert all(sum(m.counts.values()) == m.received for m in moments)
        for moment in moments:
            on_day = as_of(moments, moment.on)
            assert on_day.received == _received(lot, moment.on.isoformat())
            drawn = picture(on_day)
            beyond = max(0, -on_day.counts.get("unexplained", 0))
            note = max(0, (on_day.promised or 0) - on_day.received)
            assert sum(b.end.units for b in drawn.right) == on_day.received + beyond + note
        held = queries.count_of(queries.lot_named(desk.member.collection, lot.code))
        last = moments[-1].counts if moments else {}
        assert {k: v for k, v in held.counts.items() if v} == {k: v for k, v in last.items() if v}


@pytest.fixture
def crate(db):
    """Eighty on the note, seventy-two on the shelf, ten tested, then two missed."""
    desk = a_desk()
    lot = actions.add_lot(**desk.who, type=output_tubes(desk), brand="Ostrow")
    told = {
        on: {**desk.who, "lot": lot, "telling": Telling(happened=on)}
        for on in ("2026-01-05", "2026-02-05", "2026-03-05")
    }
    actions.receive(**told["2026-01-05"], units=72, delivery_note_units=80)
    actions.test(**told["2026-02-05"], units=10, passed={"show": 8}, failed=2)
    actions.count(**told["2026-03-05"], seen={"sealed": 60})
    return desk, lot


def _page(desk: Desk, lot, **query) -> str:
    return client_of(desk.member).get(desk.url(f"lot/{lot.code}/"), query).content.decode()


def test_the_picture_says_in_words_what_it_draws(crate):
    page = _page(*crate)
    assert (
        "72 received, 8 on the delivery note only; of these 60 sealed, 8 tested, show, 2 dead, "
        "2 unexplained, 8 never counted in" in page
    )
    assert "Delivery note 80, counted in 72: 8 fewer than the paper says." in page
    assert "The book has 62 in sealed, the count found 60." in page


def test_a_lot_is_shown_as_of_any_day(crate):
    assert "<b>72 received</b> = 62 sealed + 8 tested, show" in _page(*crate, at="2026-02-28")
    assert "<b>72 received</b> = 72 sealed" in _page(*crate, at="2026-01-05")
    assert "No unit of this lot was in the book by then" in _page(*crate, at="2025-12-31")


def test_a_correction_moves_the_days_after_it_too(crate):
    desk, lot = crate
    _told_again(desk, Event.objects.get(kind="received"), "2026-01-06", 70)
    assert "No unit of this lot was in the book by then" in _page(desk, lot, at="2026-01-05")
    assert "<b>70 received</b> = 60 sealed + 8 tested, show" in _page(desk, lot, at="2026-02-05")


def test_a_paper_that_agrees_says_so(db):
    desk = a_desk()
    lot = actions.add_lot(**desk.who, type=output_tubes(desk))
    actions.receive(**desk.who, lot=lot, units=5, delivery_note_units=5)
    assert against_the_note(moments_of(lot)[-1]) == "Delivery note 5, counted in 5: they agree."


def test_units_are_kept_out_for_a_piece_and_put_back_on_the_page(crate):
    desk, lot = crate
    add_piece(**desk.who, code="A-007", kind="amplifier")
    client, address = client_of(desk.member), desk.url(f"lot/{lot.code}/keep-out/")
    seen = {"source": "seen", "certainty": "certain"}
    sent = {"units": 3, "bucket": "tested:show", "piece": "A-007", "because": "came with it"}
    assert client.post(address, sent | seen).status_code == 302
    assert "3 kept out for A-007, from tested, show: came with it." in _page(desk, lot)
    assert client.post(address, {"units": 1, "bucket": "back", **seen}).status_code == 302
    held = queries.count_of(queries.lot_named(desk.member.collection, lot.code)).counts
    assert (held["kept-out"], held["sealed"], held["tested:show"]) == (2, 61, 5)


def test_the_page_of_a_lot_asks_as_much_for_a_long_history(
    crate, django_assert_num_queries, django_assert_max_num_queries
):
    desk, lot = crate
    client, address = client_of(desk.member), desk.url(f"lot/{lot.code}/")
    client.get(address)
    with django_assert_max_num_queries(24) as few:
        client.get(address)
    for day in range(1, 9):
        told = Telling(happened=f"2026-04-{day:02}")
        actions.count(**desk.who, lot=lot, seen={"sealed": 60 - day}, telling=told)
    with django_assert_num_queries(len(few)):
        client.get(address)


def test_an_empty_lot_says_that_nothing_moved(db):
    desk = a_desk()
    lot = actions.add_lot(**desk.who, type=output_tubes(desk))
    page = _page(desk, lot)
    assert "Nothing had arrived" in page
    assert "Nothing has moved yet" in page

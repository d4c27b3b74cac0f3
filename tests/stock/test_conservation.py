"""Received = sealed + tested + fitted + pulled + kept out + dead + lost + unexplained, always."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra.django import TestCase

from collection.catalogue.actions import add_piece
from collection.ledger.actions import withdraw
from collection.ledger.models import State
from collection.stock import actions, queries
from collection.stock.counting import balance
from collection.stock.models import Part
from tests.builders import client_of
from tests.stock.shelves import Desk, a_desk, output_tubes

small = st.integers(1, 6)
graded = st.fixed_dictionaries({"show": st.integers(0, 4), "bench": st.integers(0, 3)})
steps = st.one_of(
    st.tuples(st.just("receive"), small),
    st.tuples(st.just("test"), graded, st.integers(0, 3)),
    st.tuples(st.just("issue"), small, st.sampled_from(["sealed", "show", "pulled:show"])),
    st.tuples(st.just("pull"), st.sampled_from(["show", "bench"])),
    st.tuples(st.just("die"), st.just(0)),
    st.tuples(st.just("write_off"), small, st.sampled_from(["sealed", "tested:show"])),
    st.tuples(st.just("find_again"), small),
    st.tuples(st.just("count"), st.integers(0, 8)),
)


def _done(desk: Desk, lot, step):
    """Do one step through the actions; the units received by it."""
    what, number, *more = step
    who = {**desk.who, "lot": lot}
    newest = Part.objects.of(desk.member.collection).filter(lot=lot).order_by("-pk").first()
    if what == "receive":
        actions.receive(**who, units=number)
        return number
    if what == "test":
        units = sum(number.values()) + more[0]
        actions.test(**who, units=units, passed=number, failed=more[0])
    elif what == "issue":
        actions.issue(**who, units=number, grade=more[0], piece="A-007", position="V1")
    elif what == "pull" and newest:
        actions.pull(**desk.who, part=newest, hours=60, grade=number)
    elif what == "die" and newest:
        actions.die(**desk.who, part=newest, hours=60, how="hum")
    elif what == "write_off":
        actions.write_off(**who, units=number, bucket=more[0], because="dropped")
    elif what == "find_again":
        actions.find_again(**who, units=number)
    elif what == "count":
        actions.count(**who, seen={"sealed": number})
    return 0


class Conservation(TestCase):
    """Whatever is recorded, in whatever order, the line comes out."""

    @settings(max_examples=25, deadline=None)
    @given(st.lists(steps, max_size=10))
    def test_the_line_comes_out_after_any_sequence_of_acts(self, sequence):
        desk = a_desk()
        add_piece(**desk.who, code="A-007", kind="amplifier")
        lot = actions.add_lot(**desk.who, type=output_tubes(desk))
        received = sum(_done(desk, lot, step) for step in sequence)
        found = queries.count_of(queries.lot_named(desk.member.collection, lot.code))
        line = balance(found.counts)
        assert line.received == received
        assert sum(units for _, units in line.terms) == received


@pytest.fixture
def shelf(db):
    """A desk with a lot of ten sealed singles and an amplifier."""
    desk = a_desk()
    add_piece(**desk.who, code="A-007", kind="amplifier")
    lot = actions.add_lot(**desk.who, type=output_tubes(desk))
    actions.receive(**desk.who, lot=lot, units=10)
    return desk, lot


def _counts(lot) -> dict[str, int]:
    return dict(State.objects.get(subject=lot.subject).detail.get("counts", []))


def test_units_nobody_can_account_for_are_a_number_with_a_question(shelf):
    desk, lot = shelf
    actions.count(**desk.who, lot=lot, seen={"sealed": 8})
    page = client_of(desk.member).get(desk.url(f"lot/{lot.code}/")).content.decode()
    assert "<b>10 received</b>" in page
    assert "2 unexplained" in page
    assert "The book has 10 in sealed, the count found 8." in page


def test_a_withdrawn_act_moves_its_units_back(shelf):
    desk, lot = shelf
    lost = actions.write_off(**desk.who, lot=lot, units=3, bucket="sealed", because="fell")
    assert _counts(lot) == {"lost": 3, "sealed": 7}
    withdraw(**desk.who, event=lost, because="wrong lot")
    assert _counts(lot) == {"sealed": 10}


def test_a_changed_pair_is_one_act(shelf):
    desk, lot = shelf
    who = {**desk.who, "lot": lot, "units": 2, "grade": "sealed", "position": "output"}
    old = actions.issue(**who, piece="A-007")
    new = actions.change(**who, piece="A-007", out=old, became="show", hours=231)
    assert _counts(lot) == {"fitted": 2, "pulled:show": 2, "sealed": 6}
    entries = [e.act for e in lot.subject.entries.filter(kind__in=["pulled", "issued"])]
    assert entries[-1] == entries[-2]
    assert entries[-1] != entries[-3]
    assert State.objects.get(subject=old.subject).detail["hours_before"] == "231"
    assert State.objects.get(subject=new.subject).detail["fitted_in"] == "A-007"


def test_a_set_fitted_again_brings_its_hours_along(shelf):
    desk, lot = shelf
    who = {**desk.who, "lot": lot, "units": 2, "piece": "A-007", "position": "output"}
    part = actions.issue(**who)
    actions.pull(**desk.who, part=part, hours="60.5", grade="show")
    again = actions.issue(**who, grade="pulled:show", part_code=part.code)
    assert again == part
    assert State.objects.get(subject=part.subject).detail["hours_before"] == "60.5"
    assert _counts(lot) == {"fitted": 2, "sealed": 8}

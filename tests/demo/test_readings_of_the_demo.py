"""The demo's readings and sets agree with the story's paper. Invented figures, scenario's pages."""

import pytest

from collection.bench.readings import queries
from collection.catalogue.models import Piece
from collection.core.state import from_json
from collection.ledger.models import Event, State
from collection.stock.matching import queries as loose

pytestmark = pytest.mark.django_db


def _latest(demo, code):
    piece = Piece.objects.of(demo.collection).get(code=code)
    return queries.latest([piece])[code]


def test_the_harbour_was_read_on_the_bench_before_the_tour(demo):
    """460 V, mains 231 V, 38 and 37 mA, 25 min warm, screen share 13 %, on 26 October 2026."""
    reading = _latest(demo, "A-007")
    assert reading.event.happened == "2026-10-26"
    assert [figure.current_ma for figure in reading.figures] == [38, 37]
    assert [round(figure.idle.percent) for figure in reading.figures] == [61, 59]
    assert (reading.plate_volts, reading.said.mains_volts, reading.said.minutes_warm) == (
        "460", "231", 25,
    )  # fmt: skip
    assert (reading.shares, reading.estimated) == ("13", True)
    assert {figure.read.part for figure in reading.figures} == {"OS-14"}


def test_three_amplifiers_have_readings_over_a_year(demo):
    days = {}
    for event in Event.objects.of(demo.collection).filter(kind="measured"):
        days.setdefault(event.subject.code, []).append(event.earliest)
    spans = {code: (max(found) - min(found)).days for code, found in days.items()}
    assert {code for code, span in spans.items() if span > 350} == {"A-003", "A-007", "A-012"}


def test_no_reading_of_the_demo_asks_a_question(demo):
    numbers = Event.objects.of(demo.collection).filter(
        kind__in=["measured", "slip_noted", "matched", "parted"]
    )
    asked = Event.objects.of(demo.collection).filter(
        kind="asked", facts__entry__in=list(numbers.values_list("sequence", flat=True))
    )
    assert not asked.exists()


def test_sets_wait_under_the_next_codes_of_their_lot(demo):
    codes = [label.part.code for label in loose.labels(demo.collection)]
    assert sorted(codes) == ["OS-16", "OS-17"]
    groups = loose.groups(loose.loose_tubes(demo.collection))
    assert {group.conditions.partition(",")[0] for group in groups} == {
        "Carlisle bench tester", "Jonah Rae’s portable tester",
    }  # fmt: skip


def test_a_mate_of_a_pair_that_died_is_loose(demo):
    mates = [one for one in loose.loose_tubes(demo.collection) if one.mate]
    assert [one.part.lot.code for one in mates] == ["L-002"]
    died = Event.objects.of(demo.collection).get(kind="died_in_use", facts__part="OE-11")
    assert mates[0].state.hours_before == died.facts["hours"]
    assert from_json(State.objects.get(subject__code="OE-11").detail).grade == "apart"

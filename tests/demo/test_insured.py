"""What the demo tells of insurance, and the past read together against the book's own states."""

from datetime import date, timedelta

import pytest

from collection.core.entry import to_us
from collection.core.state import from_json
from collection.custody.whereabouts import whereabouts
from collection.ledger.models import State, Subject
from collection.ledger.past import states_at
from collection.papers.insurance import queries

pytestmark = pytest.mark.django_db
TODAY = date(2026, 11, 24)


@pytest.fixture
def seen(demo):
    by = demo.members["ines"]
    return queries.overview(demo.collection, whereabouts(by), on=TODAY, today=TODAY)


def test_what_is_read_of_many_things_is_what_the_book_says_of_each(demo):
    """At the end of the story the two ways of folding, one by one and together, agree."""
    subjects = Subject.objects.of(demo.collection).filter(kind__in=("piece", "place"))
    together = states_at(demo.collection, subjects, to_us(demo.now + timedelta(days=1)))
    kept = State.objects.of(demo.collection).filter(subject__in=subjects)
    assert kept.count() > 100
    for row in kept.select_related("subject"):
        assert together[row.subject_id] == from_json(row.detail), row.subject.code


def test_tonights_truck_goes_over_its_limit_once_loaded(seen):
    assert seen.over == []
    (one,) = seen.over_when_loaded
    assert one.truck.code == "TRUCK-A"
    assert one.load.over_minor == one.load.sum_minor - 7_000_000 > 0
    assert len(one.load.remedy) == 1


def test_last_night_it_had_been_over_on_the_road(demo):
    by, on = demo.members["ines"], date(2026, 11, 23)
    then = queries.overview(demo.collection, whereabouts(by), on=on, today=TODAY)
    assert [one.code for one in then.over] == ["TRUCK-A"]


def test_one_value_is_too_old_and_bos_cabinet_is_under_no_policy(seen):
    old = [line.piece.code for line in seen.to_look_at if "3 years" in line.findings[0]]
    assert old == ["A-010"]
    assert [one.piece.code for one in seen.bare_home if one.owner == "Bo Lindgren"] == ["C-009"]


def test_one_night_was_unattended(seen):
    broken = [(one.night.where, one.broken) for one in seen.nights if one.broken]
    assert broken == [("Stavanger, lorry park at the ferry", ["somebody stayed with it"])]


def test_every_value_on_the_schedule_has_its_day_and_basis(seen):
    lines = [line for schedule in seen.schedules for line in schedule.lines]
    assert len(lines) > 30
    assert [line.piece.code for line in lines if not line.value.on or not line.value.basis] == []

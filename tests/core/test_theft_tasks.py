"""The tasks of a theft and their days."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta

from collection.core.theft_tasks import Scene, Told, a_year_later, overdue, planned

GONE = datetime(2026, 3, 14, 11, 15, tzinfo=UTC)
HERE = Scene(GONE)


def keys(scene):
    return [task.key for task in planned(scene)]


def by_key(scene, key):
    return next(task for task in planned(scene) if task.key == key)


def test_the_police_come_first_and_the_year_last():
    assert keys(HERE) == ["police", "venue", "cameras", "truck", "insurer", "year"]


def test_customs_and_the_issuer_are_told_abroad_and_on_a_carnet_only():
    assert "customs" not in keys(HERE)
    assert "customs" in keys(replace(HERE, abroad=True))
    assert "carnet" not in keys(replace(HERE, abroad=True))
    assert keys(replace(HERE, abroad=True, carnet=True))[4:7] == ["insurer", "customs", "carnet"]


def test_cameras_are_due_before_they_are_written_over():
    # EDPB Guidelines 3/2019: 72 hours unless argued for; from memory.
    assert by_key(HERE, "cameras").due_at == GONE + timedelta(hours=72)
    day = by_key(replace(HERE, camera_hours=24), "cameras")
    assert day.due_at == GONE + timedelta(hours=24)
    assert day.because == "written over after 24 hours"


def test_the_insurers_day_is_looked_up_and_never_guessed():
    unknown = by_key(HERE, "insurer")
    assert (unknown.due_at, unknown.because) == (None, "look up the policy's notice time")
    told = by_key(replace(HERE, notify_by=GONE + timedelta(hours=48)), "insurer")
    assert (told.due_at, told.because) == (GONE + timedelta(hours=48), "")


def test_each_shop_is_a_task_in_the_order_given():
    shops = (
        Told("N-2", "Hafen Gitarren", "dealer", "Hamburg, 3 km from there"),
        Told("N-1", "Elbe Pfand", "pawnshop", "Altona"),
    )
    told = [task for task in planned(replace(HERE, shops=shops)) if task.key == "shop"]
    assert [task.party for task in told] == ["N-2", "N-1"]
    assert told[0].what == "Hafen Gitarren, dealer: notice sent, somebody spoken to"
    assert told[0].hint == "Hamburg, 3 km from there"


def test_the_reminder_comes_after_twelve_months():
    # TIME system manual (Wisconsin DOJ): month of entry and one year.
    assert by_key(HERE, "year").due_at == GONE.replace(year=2027)
    assert a_year_later(datetime(2028, 2, 29, 9)) == datetime(2029, 2, 28, 9)


def test_a_task_is_late_when_its_moment_passed_undone():
    assert overdue(GONE, done=False, now=GONE + timedelta(seconds=1))
    assert not overdue(GONE, done=False, now=GONE)
    assert not overdue(GONE, done=True, now=GONE + timedelta(days=9))
    assert not overdue(None, done=False, now=GONE + timedelta(days=9))

"""`manage.py demo`: loads once, leaves out what has not come, touches nothing else."""

from datetime import UTC, datetime
from io import StringIO
from types import SimpleNamespace
from zoneinfo import ZoneInfo

import pytest
from django.core.management import CommandError, call_command

from collection.ledger import proof
from collection.management.commands import demo as command
from fixtures.demo import load
from fixtures.demo.book import Desk

pytestmark = pytest.mark.django_db


def test_a_second_time_adds_nothing(demo):
    before = proof.root_of(demo.collection)
    out = StringIO()
    call_command("demo", "--no-serve", "--without-photos", stdout=out)
    assert "loaded already" in out.getvalue()
    assert proof.root_of(demo.collection) == before


def test_the_link_signs_ines_in_once_and_asks_no_password(demo, client):
    address = command.Command()._link()
    assert address.startswith("http://127.0.0.1:8000/link/")
    path = address.removeprefix("http://127.0.0.1:8000")
    assert client.post(path).status_code == 302
    assert client.get("/mirren-vale/").status_code == 200
    client.logout()
    assert client.post(path).status_code != 302


def test_starting_over_leaves_a_database_outside_the_folder_alone(demo, settings, tmp_path):
    settings.VAR = tmp_path
    with pytest.raises(CommandError, match="--fresh"):
        call_command("demo", "--fresh", "--no-serve")


def test_a_folder_that_holds_another_collection_is_left_as_it_is(
    collection, settings, tmp_path, monkeypatch
):
    settings.VAR, settings.CLOCK_AHEAD = tmp_path, 0
    monkeypatch.setattr(load, "SLUG", "not-loaded-here")  # other tests share one loaded demo
    called = []
    monkeypatch.setattr(command, "call_command", lambda *words, **_: called.append(words))
    monkeypatch.setattr(load, "load", lambda **_: called.append("load"))
    with pytest.raises(CommandError, match=f"holds .*{collection.slug}.* already"):
        command.Command().execute(
            no_serve=True,
            fresh=False,
            without_photos=True,
            force_color=False,
            no_color=True,
            skip_checks=True,
            stdout=StringIO(),
            stderr=StringIO(),
        )
    assert called == []
    assert list(tmp_path.iterdir()) == []


def test_steps_that_have_not_come_yet_are_left_out():
    seen = []
    steps = [(day, "see", day, {}) for day in ("2026-11-24", "2026-11-25", "2025")]
    desk = _desk(datetime(2026, 11, 24, 12, tzinfo=UTC))
    count = desk.play(steps, {"see": lambda desk, by, code, telling: seen.append(code)})
    assert (seen, count, desk.skipped) == (["2025", "2026-11-24"], 2, 1)


def test_steps_are_played_in_order_of_happening_whatever_their_zone():
    seen = []
    moments = ["2026-11-24T13:05:00+01:00", "2026-11-24T12:10:00+00:00", "2026-11-24T12:00:00"]
    desk = _desk(datetime(2026, 11, 25, tzinfo=UTC))
    acts = {"see": lambda desk, by, code, telling: seen.append(code)}
    desk.play([(when, "see", when, {}) for when in moments], acts)
    assert seen == [moments[2], moments[0], moments[1]]


def test_every_step_names_an_act_there_is_and_a_day_that_can_be_read():
    desk = _desk(datetime(2027, 1, 1, tzinfo=UTC))
    for when, act, code, _ in load.steps():
        assert act in load.EVERY_ACT, (when, code)
        assert desk.instant(when) < desk.now


def _desk(now: datetime) -> Desk:
    collection = SimpleNamespace(zone_info=ZoneInfo("Europe/London"))
    return Desk(collection=collection, members={"ines": None}, now=now)

"""Mains safety: cautions first, odd values asked, what is over its day listed first."""

from datetime import timedelta
from decimal import Decimal

import pytest

from collection.bench import actions
from collection.bench.due.actions import choose_plan
from collection.bench.safety.forms import odd_earth, odd_insulation
from collection.ledger.models import Event
from collection.ledger.telling import Telling
from registry import clock
from tests.bench.builders import a_piece, address


def list_of(client, member):
    return client.get(f"/{member.collection.slug}/bench/safety/").content.decode()


def every_year(member):
    """The interval as a person of the collection chose it."""
    return choose_plan(
        collection=member.collection, by=member, what="mains safety test", kind="amplifier",
        every=365, measured_by="days", done_by="safety_tested", basis="house rule",
        reason="played hard",
    )  # fmt: skip


def passed(member, code, days_ago):
    day = clock.today(member.collection.zone_info) - timedelta(days=days_ago)
    actions.safety_test(
        collection=member.collection, by=member, code=code, passed=True,
        telling=Telling(day.isoformat()),
    )  # fmt: skip


def test_cautions_come_before_the_first_field(technician, technician_client):
    piece = a_piece(technician)
    page = technician_client.get(address(piece, "safety_tested")).content.decode()
    assert page.index("licensed tester") < page.index("they stay after the plug")
    assert page.index("they stay after the plug") < page.index('name="tester"')


def test_milliohms_typed_for_ohms_are_asked(technician, technician_client):
    piece = a_piece(technician)
    typed = {"earth_ohms": "60", "insulation_megohms": "50", "passed": "yes"}
    page = technician_client.post(address(piece, "safety_tested"), typed).content.decode()
    assert "Did you mean 0.06?" in page
    typed["use"] = "earth_ohms=0.06"
    assert technician_client.post(address(piece, "safety_tested"), typed).status_code == 302
    facts = Event.objects.get(subject=piece.subject, kind="safety_tested").facts
    assert (facts["earth_ohms"], facts["insulation_megohms"]) == ("0.06", "50")


@pytest.mark.parametrize(
    ("doubt", "value", "passed", "instead"),
    [
        (odd_earth, "0.06", True, "fine"), (odd_earth, "60", True, "0.06"),
        (odd_earth, "1.2", True, None), (odd_earth, "1.2", False, "fine"),
        (odd_insulation, "50", True, "fine"), (odd_insulation, "50000000", True, "50"),
        (odd_insulation, "0.4", True, None), (odd_insulation, "0.4", False, "fine"),
    ],
)  # fmt: skip
def test_a_value_is_asked_about_when_it_is_odd(doubt, value, passed, instead):
    """Limits for asking are common practice, no source; local code decides."""
    found = doubt(Decimal(value), passed=passed)
    if instead == "fine":
        assert found is None
    else:
        assert found.instead == (Decimal(instead) if instead else None)


def test_what_is_over_its_day_stands_first(technician, technician_client):
    every_year(technician)
    for code, days_ago in (("A-941", 10), ("A-942", 400), ("A-943", 340)):
        a_piece(technician, code=code)
        passed(technician, code, days_ago)
    a_piece(technician, code="A-944")
    page = list_of(technician_client, technician)
    order = sorted(("A-941", "A-942", "A-943", "A-944"), key=page.index)
    assert order == ["A-942", "A-944", "A-943", "A-941"]
    assert "overdue since" in page
    assert "due, never passed" in page


def test_without_an_interval_nothing_is_due(technician, technician_client):
    a_piece(technician, code="A-945")
    page = list_of(technician_client, technician)
    assert "No interval is chosen yet" in page
    assert "nobody asks for it" in page


def test_a_failed_test_ends_the_last_pass(technician, technician_client):
    every_year(technician)
    a_piece(technician, code="A-946")
    passed(technician, "A-946", 10)
    actions.safety_test(collection=technician.collection, by=technician, code="A-946", passed=False)
    assert "due, never passed" in list_of(technician_client, technician)


def test_a_viewer_sees_the_list_without_a_way_to_record(technician, viewer_client):
    a_piece(technician, code="A-947")
    page = list_of(viewer_client, technician)
    assert "A-947" in page
    assert "safety_tested" not in page

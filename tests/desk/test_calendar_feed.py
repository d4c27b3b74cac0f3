"""The calendar feed, held against RFC 5545 (iCalendar, 2009) line by line, and a parser of it."""

import re
from datetime import UTC, date, datetime, timedelta

import icalendar
import pytest
from django.core.exceptions import ValidationError
from django.test import Client

from collection.bench.actions import serve
from collection.bench.due.actions import choose_plan
from collection.desk import feed
from collection.desk.actions import renew_calendar
from collection.ledger.telling import Telling
from registry.access.actions import end_membership
from registry.access.models import ShareLink
from tests.builders import client_of
from tests.road.builders import NOW, TODAY, a_road

pytestmark = pytest.mark.django_db


@pytest.fixture
def road(technician):
    road = a_road(technician)
    choose_plan(collection=road.collection, by=technician, what="tape path cleaned", every=1,
                measured_by="days", basis="a page", reason="dusty, very",
                piece=road.position.piece)  # fmt: skip
    serve(collection=road.collection, by=technician, code="A-003", what="tape path cleaned",
          telling=Telling(happened=(TODAY - timedelta(days=9)).isoformat()))  # fmt: skip
    return road


@pytest.fixture
def written(road) -> bytes:
    return feed.calendar(road.collection, now=NOW)


def events(written: bytes) -> dict[str, icalendar.Event]:
    parsed = icalendar.Calendar.from_ical(written)
    return {str(one["uid"]).split(".")[0]: one for one in parsed.walk("VEVENT")}


def test_lines_end_in_crlf_and_fold_at_75_octets(written):
    """RFC 5545, 3.1: lines end in CRLF and should not be longer than 75 octets without it."""
    assert written.endswith(b"\r\n")
    assert b"\n" not in written.replace(b"\r\n", b"")
    assert max(len(line) for line in written.split(b"\r\n")) <= 75


def test_the_calendar_and_every_event_have_what_they_must_have(written):
    """RFC 5545, 3.6: PRODID and VERSION once; 3.6.1: UID, DTSTAMP once, and DTSTART."""
    unfolded = re.sub(rb"\r\n[ \t]", b"", written).decode()
    head, *blocks = unfolded.split("BEGIN:VEVENT\r\n")
    assert head.count("PRODID:") == head.count("VERSION:2.0") == 1
    assert len(blocks) == 2
    for block in blocks:
        for name in ("UID", "DTSTAMP", "DTSTART"):
            assert len(re.findall(rf"^{name}[:;]", block, re.M)) == 1, name
    uids = re.findall(r"^UID:(.*)\r$", unfolded, re.M)
    assert len(set(uids)) == len(uids)


def test_a_show_runs_from_load_in_to_off_in_utc(written):
    """Bergen in winter is an hour ahead: 11:00 to 23:00 there is 10:00 to 22:00 UTC.

    RFC 5545, 3.3.5, form 2: a time in UTC ends in Z and needs no VTIMEZONE.
    """
    show = events(written)["show-W-014"]
    assert show["dtstart"].dt == datetime(2024, 11, 24, 10, tzinfo=UTC)
    assert show["dtend"].dt == datetime(2024, 11, 24, 22, tzinfo=UTC)
    assert show["summary"] == "Show 14, Bergen"
    assert show["location"] == "Sjøhallen, Bergen"
    assert b"DTSTART:20241124T100000Z" in written


def test_due_work_is_a_whole_day_that_blocks_nobody(written):
    """RFC 5545, 3.6.1: a DATE's DTEND is the day after; 3.8.2.7: TRANSPARENT is not busy."""
    work = events(written)["due-20241125"]
    assert (work["dtstart"].dt, work["dtend"].dt) == (date(2024, 11, 25), date(2024, 11, 26))
    assert work["transp"] == "TRANSPARENT"
    assert "A-003 Twelve: tape path cleaned (9 of 1 days)" in work["description"]
    assert b"DTSTART;VALUE=DATE:20241125" in written


def test_nothing_but_shows_and_due_work_is_in_it(road, technician, written):
    text = written.decode()
    assert set(events(written)) == {"show-W-014", "due-20241125"}
    for private in (technician.name, "Truck A", "dusty"):
        assert private not in text


def test_the_same_thing_keeps_its_uid(road, written):
    """RFC 5545, 3.8.4.7: the UID is persistent, so that a change is no second event."""
    later = feed.calendar(road.collection, now=NOW + timedelta(hours=2))
    assert list(events(later)) == list(events(written))


def address_of(client, collection) -> str:
    page = client.post(f"/{collection.slug}/calendar/").content.decode()
    return "/" + page.split('readonly value="')[1].split('"')[0].split("/", 3)[3]


def test_a_member_makes_an_address_and_a_calendar_program_reads_it(road, viewer):
    address = address_of(client_of(viewer), road.collection)
    answer = Client().get(address)
    assert answer.status_code == 200
    assert answer["Content-Type"] == "text/calendar; charset=utf-8"
    assert icalendar.Calendar.from_ical(answer.content)["version"] == "2.0"
    assert address.split("/")[3] not in str(ShareLink.objects.values())


def test_a_new_address_takes_the_old_one_back(road, technician_client):
    old = address_of(technician_client, road.collection)
    new = address_of(technician_client, road.collection)
    assert [Client().get(one).status_code for one in (old, new)] == [410, 200]


def test_an_address_that_cannot_be_made_leaves_the_old_one_open(road, technician):
    address = address_of(client_of(technician), road.collection)
    technician.name = "x" * 500
    with pytest.raises(ValidationError):
        renew_calendar(by=technician, now=NOW)
    assert Client().get(address).status_code == 200


def test_an_address_taken_back_or_of_somebody_who_left_opens_nothing(road, technician, keeper):
    address = address_of(client_of(technician), road.collection)
    end_membership(technician, now=NOW)
    assert Client().get(address).status_code == 410
    own = address_of(client_of(keeper), road.collection)
    link = ShareLink.objects.get(code=keeper.code)
    client_of(keeper).post(f"/{road.collection.slug}/calendar/{link.pk}/end/")
    assert Client().get(own).status_code == 410


def test_only_a_keeper_takes_back_the_address_of_another(road, technician, viewer, keeper):
    address = address_of(client_of(technician), road.collection)
    link = ShareLink.objects.get(code=technician.code)
    end = f"/{road.collection.slug}/calendar/{link.pk}/end/"
    assert client_of(viewer).post(end).status_code == 404
    assert Client().get(address).status_code == 200
    assert client_of(keeper).post(end).status_code == 302
    assert Client().get(address).status_code == 410

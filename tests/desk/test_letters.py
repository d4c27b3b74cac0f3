"""Letters: written once, sent once, held back before doors, kept when sending fails."""

from datetime import date, datetime, time, timedelta
from io import StringIO
from smtplib import SMTPServerDisconnected
from zoneinfo import ZoneInfo

import pytest
from django.core import mail
from django.core.management import call_command

from collection.custody.actions import add_place
from collection.desk.post.actions import TRIES, send_letters, write_letters
from collection.desk.post.models import Letter
from collection.desk.post.quiet import before_doors
from collection.desk.post.summary import weekly
from collection.road import actions as road
from collection.stock import actions as stock
from registry.access.actions import set_email
from registry.access.roles import Role
from tests.builders import a_member, client_of
from tests.stock.shelves import Desk, a_desk, output_tubes, the_worked_case

pytestmark = pytest.mark.django_db
LISBON = ZoneInfo("Europe/Lisbon")
NOON = datetime(2026, 11, 25, 12, 0, tzinfo=LISBON)  # a Wednesday


@pytest.fixture
def desk() -> Desk:
    """60 pairs that last ten years, somebody who asked to be warned at twelve, an address."""
    made = the_worked_case()
    stock.set_outlook(**made.who, type=output_tubes(made), alarm_years=12)
    set_email(made.member.person, email="ines@gear.example")
    return made


def _write(desk: Desk, now: datetime = NOON) -> list[Letter]:
    return write_letters(desk.member.collection, now=now)


def _send(desk: Desk, now: datetime = NOON) -> tuple[int, int]:
    return send_letters(desk.member.collection, now=now)


def _show(desk: Desk, on: date, **day_sheet: time) -> None:
    tour = road.add_tour(**desk.who, name="Leg", starts_on=on, ends_on=on)
    venue = add_place(**desk.who, name="Hall", kind="venue", code="V-1", zone="Europe/Lisbon")
    road.add_show(**desk.who, tour=tour, number=1, venue=venue, on=on, **day_sheet)


def test_the_week_s_letter_says_what_is_below_its_line(desk):
    (letter,) = _write(desk)
    assert letter.subject.endswith("week 48, 1 below the line")
    assert "EL34: 10" in letter.body
    assert "below the 12 somebody asked to be warned at" in letter.body
    assert "Which stock ends first" in letter.body


def test_a_week_has_one_letter_however_often_the_command_runs(desk):
    assert len(_write(desk)) == 1
    assert _write(desk, NOON + timedelta(days=1)) == []
    assert len(_write(desk, NOON + timedelta(days=7))) == 1
    assert _send(desk) == (2, 0)
    assert _send(desk) == (0, 0)
    assert len(mail.outbox) == 2
    assert mail.outbox[0].to == ["ines@gear.example"]


def test_nothing_is_written_or_sent_before_the_doors_of_a_show(desk):
    _show(desk, NOON.date(), line_check=time(16), doors=time(19))
    collection = desk.member.collection
    assert _write(desk) == []
    _write(desk, NOON + timedelta(days=1))
    assert _send(desk) == (0, 0)
    assert not before_doors(collection, NOON.replace(hour=19, minute=1))
    assert before_doors(collection, NOON.replace(hour=1))
    assert _send(desk, NOON.replace(hour=20)) == (1, 0)


def test_a_show_without_a_day_sheet_is_quiet_until_eight(desk):
    _show(desk, NOON.date())
    assert before_doors(desk.member.collection, NOON.replace(hour=19, minute=59))
    assert not before_doors(desk.member.collection, NOON.replace(hour=20))


def test_a_letter_that_fails_is_kept_and_tried_again(desk, monkeypatch):
    _write(desk)

    def fails(self) -> None:
        raise SMTPServerDisconnected("gone")

    with monkeypatch.context() as broken:
        broken.setattr("django.core.mail.EmailMessage.send", fails)
        assert _send(desk) == (0, 1)
    letter = Letter.objects.get()
    assert (letter.tries, letter.sent_at) == (1, None)
    assert "gone" in letter.last_error
    assert "not sent yet" in _page(desk)
    assert _send(desk) == (1, 0)
    assert Letter.objects.get().last_error == ""


def test_a_letter_that_has_failed_too_often_is_left_to_people(desk):
    _write(desk)
    Letter.objects.update(tries=TRIES)
    assert _send(desk) == (0, 0)


def test_only_members_who_record_and_have_an_address_are_written_to(desk):
    reader = a_member(desk.member.collection, role=Role.VIEWER)
    set_email(reader.person, email="reader@gear.example")
    a_member(desk.member.collection)
    assert [letter.address for letter in _write(desk)] == ["ines@gear.example"]


def test_a_collection_with_nothing_to_say_writes_nothing():
    assert weekly(a_desk().member.collection, today=NOON.date()) is None


def test_the_command_writes_sends_and_tidies(desk, tmp_path, settings):
    settings.PHOTOS = tmp_path
    out = StringIO()
    call_command("daily", stdout=out)
    slug = desk.member.collection.slug
    assert f"{slug}: 1 letters written, 1 sent" in out.getvalue()
    assert "0 files removed." in out.getvalue()
    call_command("daily", "--no-tidy", stdout=(again := StringIO()))
    assert f"{slug}: 0 letters written, 0 sent" in again.getvalue()


# -- the page --------------------------------------------------------------------------------
def _page(desk: Desk) -> str:
    address = f"/{desk.member.collection.slug}/letters/"
    return client_of(desk.member).get(address).content.decode()


def test_a_member_says_where_letters_go():
    desk = the_worked_case()
    assert "No letter yet" in _page(desk)
    address = f"/{desk.member.collection.slug}/letters/"
    client = client_of(desk.member)
    assert client.post(address, {"email": "not an address"}).status_code == 422
    assert client.post(address, {"email": "new@gear.example"}).status_code == 302
    desk.member.person.refresh_from_db()
    assert desk.member.person.email == "new@gear.example"


def test_nobody_reads_another_member_s_letters(desk):
    _write(desk)
    assert "below the line" in _page(desk)
    assert "below the line" not in _page(Desk(a_member(desk.member.collection)))


def test_the_page_asks_as_much_for_many_letters(desk, django_assert_num_queries):
    client = client_of(desk.member)
    address = f"/{desk.member.collection.slug}/letters/"
    _write(desk)
    client.get(address)
    with django_assert_num_queries(4):
        client.get(address)
    for week in range(1, 4):
        _write(desk, NOON + timedelta(weeks=week))
    with django_assert_num_queries(4):
        client.get(address)

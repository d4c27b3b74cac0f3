"""Each month's seal goes out once, to whom a keeper chose, with what they chose."""

import csv
import hashlib
import io
import json
import zipfile
from datetime import datetime, timedelta
from io import StringIO
from zoneinfo import ZoneInfo

import pytest
from django.core import mail
from django.core.management import call_command

from collection.catalogue.actions import add_photo, add_piece
from collection.core.cells import BOM
from collection.core.events.disposed import Disposed
from collection.core.events.sold import Sold
from collection.core.seal import read_seal
from collection.custody import actions as custody
from collection.desk.monthly import enclosures
from collection.desk.monthly.actions import choose_reader, end_reader, write_seals
from collection.desk.post.actions import send_letters
from collection.desk.post.models import Enclosure, Letter
from collection.ledger.actions import open_book
from collection.ledger.sealing import queries
from collection.ledger.sealing.checking import check
from tests.catalogue.photo_samples import drawn, saved

pytestmark = pytest.mark.django_db
NOON = datetime(2026, 11, 2, 12, tzinfo=ZoneInfo("Europe/Lisbon"))
PICTURE = saved(drawn(), "PNG")


@pytest.fixture
def who(collection, keeper, settings, tmp_path):
    settings.PHOTOS = tmp_path
    return {"collection": collection, "by": keeper}


@pytest.fixture
def broker(who):
    piece = add_piece(
        **who, code="A-007", kind="amplifier", name="=1+1", value_minor=640000, value_currency="EUR"
    )
    add_photo(**who, subject=piece.subject, data=PICTURE, view="front")
    return custody.add_party(**who, name="The broker", email="broker@gear.example")


def choose(who, party, *, schedule=False, photos=False):
    return choose_reader(**who, party=party, schedule=schedule, photos=photos)


def sent(collection, now=NOON):
    write_seals(collection, now=now)
    return send_letters(collection, now=now)


def enclosed(letter):
    return {name: data for name, data, _ in letter.attachments}


def text(data):
    return data.decode() if isinstance(data, bytes) else data


def test_nobody_chosen_nothing_is_sealed(who, broker, collection):
    assert write_seals(collection, now=NOON) == []
    assert queries.seals(collection) == []


def test_a_month_has_one_seal_and_one_letter_however_often_it_runs(who, broker, collection):
    choose(who, broker)
    assert sent(collection) == (1, 0)
    assert sent(collection, NOON + timedelta(days=20)) == (0, 0)
    assert len(queries.seals(collection)) == 1
    assert sent(collection, NOON + timedelta(days=30)) == (1, 0)
    assert len(queries.seals(collection)) == 2
    assert [one.to for one in mail.outbox] == [["broker@gear.example"]] * 2


def test_the_seal_in_the_letter_checks_the_book(who, broker, collection):
    choose(who, broker)
    sent(collection)
    files = enclosed(mail.outbox[0])
    assert sorted(files) == ["photos.sha256", "seal-001.json", "seal-001.txt"]
    seal = read_seal(text(files["seal-001.json"]))
    assert check(collection, seal).fits
    assert read_seal(text(files["seal-001.txt"]).splitlines()[-1]).pair == seal.pair
    assert seal.root in mail.outbox[0].body
    (kept,) = queries.seals(collection)
    assert kept.held_by == (broker.code,)
    assert json.loads(text(files["seal-001.json"])) == kept.seal.to_json()


def test_hashes_of_photos_are_in_the_form_that_sha256sum_checks(who, broker, collection):
    # Source: GNU coreutils manual, 'md5sum invocation': digest, two spaces, name.
    choose(who, broker)
    sent(collection)
    digest = hashlib.sha256(PICTURE).hexdigest()
    said = text(enclosed(mail.outbox[0])["photos.sha256"])
    assert said == f"{digest}  A-007-front-{digest[:8]}\n"


def test_values_and_pictures_go_only_where_they_were_chosen(who, broker, collection):
    lawyer = custody.add_party(**who, name="The lawyer", email="lawyer@gear.example")
    choose(who, broker, schedule=True, photos=True)
    choose(who, lawyer)
    sent(collection)
    to = {one.to[0]: enclosed(one) for one in mail.outbox}
    assert {"schedule.csv", "pictures.zip"} <= set(to["broker@gear.example"])
    assert not {"schedule.csv", "pictures.zip"} & set(to["lawyer@gear.example"])
    lines = text(to["broker@gear.example"]["schedule.csv"]).removeprefix(BOM)
    _, row = csv.reader(io.StringIO(lines))
    assert row == ["A-007", "'=1+1", "", "", "", "6400.00", "EUR"]
    with zipfile.ZipFile(io.BytesIO(to["broker@gear.example"]["pictures.zip"])) as packed:
        assert len(packed.namelist()) == 1
    assert len(queries.seals(collection)) == 1


def test_what_was_sold_is_off_the_list_and_what_was_stolen_stays_on_it(who, collection):
    for code, how in (("A-031", Sold(to="")), ("A-032", Disposed()), ("A-033", None)):
        add_piece(**who, code=code, kind="amplifier")
        if how is not None:
            with open_book(**who) as book:
                book.append(how, code)
    custody.report_theft(**who, pieces=["A-033"])
    listed = text(enclosures.schedule(collection).data)
    assert "A-033" in listed
    assert "A-031" not in listed
    assert "A-032" not in listed


def test_pictures_that_find_no_room_are_counted(who, broker, collection, monkeypatch):
    monkeypatch.setattr(enclosures, "MOST_BYTES", 10)
    choose(who, broker, photos=True)
    sent(collection)
    assert "pictures.zip" not in enclosed(mail.outbox[0])
    assert "1 pictures found no room" in mail.outbox[0].body


def test_bytes_are_let_go_once_sent_and_kept_until_then(who, broker, collection, settings):
    choose(who, broker)
    write_seals(collection, now=NOON)
    assert all(bytes(one.data) for one in Enclosure.objects.all())
    send_letters(collection, now=NOON)
    assert not [one for one in Enclosure.objects.all() if bytes(one.data)]


def test_without_an_address_or_once_ended_nothing_is_written(who, broker, collection):
    silent = custody.add_party(**who, name="No mail")
    choose(who, silent)
    assert write_seals(collection, now=NOON) == []
    end_reader(choose(who, broker))
    assert write_seals(collection, now=NOON) == []


def test_the_daily_command_writes_and_sends(who, broker, collection):
    choose(who, broker)
    said = StringIO()
    call_command("daily", "--no-tidy", stdout=said)
    assert "1 letters written, 1 sent" in said.getvalue()


def test_a_keeper_chooses_on_a_page(who, broker, collection, keeper_client, technician_client):
    page = f"/{collection.slug}/monthly/"
    assert technician_client.get(page).status_code == 403
    assert b"Nobody yet" in keeper_client.get(page).content
    keeper_client.post(page, {"party": broker.code, "schedule": "on"})
    sent(collection)
    shown = keeper_client.get(page).content
    assert b"the list with agreed values" in shown
    assert b"schedule.csv" in shown
    keeper_client.post(f"{page}{broker.code}/end/")
    assert b"Nobody yet" in keeper_client.get(page).content
    assert Letter.objects.of(collection).count() == 1


def test_a_party_without_an_address_cannot_be_chosen(who, collection, keeper_client):
    silent = custody.add_party(**who, name="No mail")
    answer = keeper_client.post(f"/{collection.slug}/monthly/", {"party": silent.code})
    assert answer.status_code == 422

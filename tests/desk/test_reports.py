"""The report of a night says what the book says of it, and lets no secret out by letter."""

import io
from datetime import timedelta

import pikepdf
import pytest
from django.core import mail
from django.db import connection
from django.test.utils import CaptureQueriesContext

from collection.bench.actions import fault
from collection.custody.actions import add_party
from collection.desk.post.actions import send_letters
from collection.desk.post.models import Letter
from collection.desk.reports.night import HALL, night_of, report
from collection.ledger.actions import note, withdraw
from collection.ledger.models import Event
from collection.ledger.telling import Telling
from collection.road.actions import it_died, log_show, sound_back
from tests.road.builders import NOW, TODAY, a_place, a_road

pytestmark = pytest.mark.django_db
AT_NIGHT = f"{TODAY.isoformat()}T21:40:00+01:00"


@pytest.fixture
def road(technician):
    return a_road(technician)


def told(road) -> None:
    """A night with a death, a fault, notes by song, and the hall."""
    by = {"collection": road.collection, "by": road.by}
    died = it_died(**by, show=road.show, position=road.position, telling=Telling(happened=AT_NIGHT))
    sound_back(died=died, at=died.at + timedelta(minutes=2))
    fault(**by, code="A-018", symptom="hums", telling=Telling(happened=AT_NIGHT))
    song = Telling(happened=AT_NIGHT, words="Low end thin in the second verse")
    note(**by, subject=road.show.code, about="Salt Road", telling=song)
    hall = Telling(happened=AT_NIGHT, words="Rain, damp stage")
    note(**by, subject=road.show.code, about=HALL, telling=hall)
    log_show(
        **by, show=road.show, pieces=["A-018"], troubled={"A-003": ""}, heater_hours="4.5",
        ht_hours="2.2", telling=Telling(happened=f"{TODAY.isoformat()}T23:30:00+01:00"),
    )  # fmt: skip


def lines(road) -> dict[str, list[str]]:
    sheet = report(night_of(road.show))
    return {
        one.key: [" ".join((i.what, i.more, i.aside)) for i in one.items] for one in sheet.headings
    }


def test_the_report_says_what_was_played_died_and_noted(road):
    told(road)
    said = lines(road)
    assert said["played"][:2] == ["4.5 h on the heaters  ", "2.2 h with high tension on  "]
    assert said["played"][2].startswith("A-018 Twelve")
    assert said["trouble"] == ["A-003 Twelve  troubled"]
    assert "silent for 2 min" in said["died"][0]
    assert any("hums" in line for line in said["faults"])
    assert said["notes"] == ["Low end thin in the second verse Salt Road "]
    assert said["hall"] == ["Rain, damp stage  "]


def test_a_show_that_nobody_logged_is_not_said_to_be_without_trouble(road):
    none = {one.key: one.none for one in report(night_of(road.show)).headings}
    assert none["trouble"] == "The show is not logged yet."
    told(road)
    none = {one.key: one.none for one in report(night_of(road.show)).headings}
    assert none["trouble"] == "Everything sounded without trouble."


def test_what_happened_on_another_day_is_on_another_report(road):
    other = Telling(happened=(TODAY - timedelta(days=1)).isoformat())
    fault(collection=road.collection, by=road.by, code="A-018", symptom="hums", telling=other)
    assert lines(road)["faults"] == []


def test_after_midnight_is_still_the_night(road):
    late = Telling(happened=f"{(TODAY + timedelta(days=1)).isoformat()}T00:40:00+01:00")
    fault(collection=road.collection, by=road.by, code="A-018", symptom="hums", telling=late)
    assert len(lines(road)["faults"]) == 1


def test_a_withdrawn_note_is_off_the_report(road):
    told(road)
    event = Event.objects.get(kind="noted", facts__about="Salt Road")
    withdraw(collection=road.collection, by=road.by, event=event, because="wrong song")
    assert lines(road)["notes"] == []


def test_hall_and_weather_are_typed_on_the_page(road, technician_client):
    base = f"/{road.collection.slug}/reports/{road.show.code}/"
    answer = technician_client.post(f"{base}hall/", {"words": "Dry, dimmer 3 hums"})
    assert answer.status_code == 302
    assert "Dry, dimmer 3 hums" in technician_client.get(base).content.decode()
    event = Event.objects.get(kind="noted")
    assert event.subject.code == road.show.code
    empty = technician_client.post(f"{base}hall/", {"words": ""})
    assert empty.status_code == 422


def test_the_paper_is_a_tagged_pdf_with_its_title(road, technician_client):
    told(road)
    answer = technician_client.get(f"/{road.collection.slug}/reports/{road.show.code}/paper/")
    assert answer["Content-Type"] == "application/pdf"
    with pikepdf.open(io.BytesIO(answer.content)) as pdf:
        assert pdf.Root.MarkInfo.Marked
        assert "Show 14, Bergen" in str(pdf.docinfo["/Title"])


def test_a_letter_lets_no_money_and_no_private_place_out(road, technician_client):
    told(road)
    a_place(road.by, "Ravenglass cottage", "house", private=True)
    by = {"collection": road.collection, "by": road.by, "subject": road.show.code}
    for words in ("Spare is at Ravenglass cottage", "Hire asks 250 EUR", "Lead 4 swapped"):
        note(**by, telling=Telling(happened=AT_NIGHT, words=words))
    add_party(
        collection=road.collection, by=road.by, name="Production", code="N-005",
        email="production@gear.example",
    )  # fmt: skip
    address = f"/{road.collection.slug}/reports/{road.show.code}/send/"
    assert technician_client.post(address, {"party": "N-005"}).status_code == 302
    assert technician_client.post(address, {"party": "N-005"}).status_code == 302
    letter = Letter.objects.get()  # the same report goes once
    assert "Lead 4 swapped" in letter.body
    assert "Ravenglass" not in letter.body
    assert "250" not in letter.body
    assert letter.body.count("a line that stays in the book") == 2
    send_letters(road.collection, now=NOW + timedelta(days=2))
    assert mail.outbox[0].to == ["production@gear.example"]


def test_a_viewer_reads_and_neither_writes_nor_sends(road, viewer_client):
    base = f"/{road.collection.slug}/reports/{road.show.code}/"
    page = viewer_client.get(base).content.decode()
    assert "Send it" not in page
    assert viewer_client.post(f"{base}send/", {"party": "N-005"}).status_code == 403


def test_longer_nights_and_tours_ask_no_more_queries(road, technician_client):
    told(road)
    base = f"/{road.collection.slug}/reports/"
    pages = [f"{base}{road.show.code}/", f"{base}tour/{road.tour.code}/"]
    technician_client.get(pages[0])
    counts = []
    for _ in range(2):
        with CaptureQueriesContext(connection) as asked:
            for page in pages:
                assert technician_client.get(page).status_code == 200
        counts.append(len(asked))
        for number in range(3):
            by = {"collection": road.collection, "by": road.by}
            fault(**by, code="A-018", symptom=f"hums {number}", telling=Telling(happened=AT_NIGHT))
    assert counts[0] == counts[1]

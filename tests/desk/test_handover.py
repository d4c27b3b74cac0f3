"""The handover says what the next pair of hands must know, and holds no code of any lock."""

import io
from datetime import date, timedelta

import pikepdf
import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from collection.bench.actions import fault, tag_out
from collection.bench.jobs.models import Job
from collection.bench.sheets.actions import note_sheet
from collection.custody import actions as custody
from collection.custody.loans import actions as lending
from collection.desk.handover import actions
from collection.desk.handover.models import HeldKey
from collection.desk.handover.sheet import handover
from collection.ledger.actions import ask, note, withdraw
from collection.ledger.errors import LedgerError
from collection.ledger.models import Event
from collection.ledger.telling import Telling
from registry import clock
from tests.bench.builders import a_piece
from tests.bench.samples import a_job
from tests.road.builders import a_road
from tests.stock.shelves import Desk, output_tubes, pairs

pytestmark = pytest.mark.django_db


@pytest.fixture
def by(technician):
    return {"collection": technician.collection, "by": technician}


@pytest.fixture
def people(by):
    ines = custody.add_party(**by, name="Ines Holt", code="N-002", does="technician", phone="142")
    tamsin = custody.add_party(**by, name="Tamsin Yorke", code="N-012", does="deputy")
    return ines, tamsin


@pytest.fixture
def road(technician):
    return a_road(technician, on=clock.today(technician.collection.zone_info))


def lines(member) -> dict[str, list[str]]:
    sheet = handover(member, now=clock.now())
    return {
        one.key: [" | ".join((i.what, i.more, i.aside)) for i in one.items]
        for one in sheet.headings
    }


def test_what_is_broken_stands_first_and_what_must_not_be_powered_before_it(by, road, technician):
    fault(**by, code="A-018", symptom="crackles")
    tag_out(**by, code="A-003", reason="smoke", check="bench")
    said = lines(technician)["broken"]
    assert said[0].startswith("A-003 Twelve | smoke. The check that lifts it: bench.")
    assert "A-018 Twelve: crackles" in said[1]


def test_a_note_marked_odd_but_normal_is_on_it_until_it_is_taken_back(
    by, road, technician, technician_client
):
    address = f"/{road.collection.slug}/bench/record/A-003/noted/"
    note(**by, subject="A-018", telling=Telling(words="new knob"))
    record = technician_client.get(f"/{road.collection.slug}/bench/record/A-003/")
    assert 'name="odd"' in record.content.decode()
    sent = {"words": "hums until it is warm", "odd": "on"}
    assert technician_client.post(address, sent).status_code == 302
    said = lines(technician)["odd"]
    assert len(said) == 1
    assert said[0].startswith("A-003 Twelve | hums until it is warm")
    event = Event.objects.get(kind="noted", facts__odd=True)
    withdraw(**by, event=event, because="mended")
    assert lines(technician)["odd"] == []


def test_the_plan_says_the_backup_and_what_to_do_when_it_dies(road, technician):
    (said,) = lines(technician)["plan"]
    assert said.startswith("1 organ amp: A-003 Twelve | Backup: A-018 Twelve.")
    assert "If it dies: A-018 from the side. In order: stands: stage left; lead: 2B" in said
    assert "Silence accepted: 4 min." in said


def test_a_backup_that_is_not_found_is_said_to_be_so(by, road, technician):
    custody.not_found(**by, code="A-018", looked_at=road.truck.code)
    (said,) = lines(technician)["plan"]
    assert "backup not found" in said


def test_settings_of_what_plays_are_on_it(by, road, technician):
    note_sheet(**by, code="A-003", sheet="settings_noted", pairs=[("volume", "4"), ("tone", "2")])
    said = lines(technician)["settings"]
    assert said[0].startswith("A-003 Twelve | volume 4, tone 2 | newest")


def test_spares_say_how_many_of_which_grade_and_where(technician):
    desk = Desk(technician)
    pairs(desk, output_tubes(desk), 6, code="OS-14", drawer="drawer 4")
    said = lines(technician)["spares"]
    assert len(said) == 1
    assert "OS-14" in said[0]
    assert "6 sealed" in said[0]
    assert "drawer 4" in said[0]


def test_loans_jobs_files_and_questions_that_are_open_are_on_it(by, people, technician, keeper):
    piece, stolen = a_piece(technician), a_piece(technician)
    today = clock.today(technician.collection.zone_info)
    terms = lending.Terms("one song", today - timedelta(days=9), today - timedelta(days=2), "M")
    lending.lend(**by, pieces=[lending.Handed(piece.code)], to=people[1], terms=terms)
    a_job(keeper, "x")
    custody.report_theft(**by, pieces=[stolen.code], place_words="a car park", code="I-001")
    ask(**by, question="Which winding?")
    said = lines(technician)
    assert "overdue by 2 days" in said["loans"][0]
    assert len(said["jobs"]) == Job.objects.count()
    (file,) = said["files"]
    still = f"Theft I-001 | Still missing: {stolen.code}. Police: not reported yet."
    assert file.startswith(still)
    assert file.endswith("| a car park")
    assert any("Which winding?" in line for line in said["questions"])


def test_only_who_has_a_number_is_under_telephone(people, technician):
    assert lines(technician)["telephones"] == ["technician | Ines Holt | 142"]


def test_since_the_last_handover_only_what_came_after_it(by, people, road, technician):
    early = Telling(happened="2025-10-01")
    fault(**by, code="A-018", symptom="crackles", telling=early)
    assert lines(technician)["since"] == []
    at = Telling(happened="2025-10-21")
    actions.hand_over(
        by=technician, outgoing=people[0], incoming=people[1], because="ill", until="2025-10-26",
        telling=at,
    )  # fmt: skip
    fault(**by, code="A-003", symptom="hums", telling=Telling(happened="2025-10-22"))
    said = lines(technician)["since"]
    assert len(said) == 1
    assert "hums" in said[0]
    lead = handover(technician, now=clock.now()).lead[0]
    assert (
        "Tamsin Yorke (N-012) took over from Ines Holt (N-002) until 26 October 2025: ill." in lead
    )


def test_a_handover_names_two_people_and_is_written_once(people, technician_client, technician):
    base = f"/{technician.collection.slug}/handover/"
    sent = {"outgoing": "N-002", "incoming": "N-012", "because": "ill", "once": "b" * 32}
    for _ in range(2):
        assert technician_client.post(f"{base}write/", sent).status_code == 302
    event = Event.objects.get(kind="handed_over")
    assert event.names == {"outgoing": "N-002", "incoming": "N-012"}
    alone = {"outgoing": "N-002", "incoming": "N-002", "because": "alone again"}
    answer = technician_client.post(f"{base}write/", alone)
    assert answer.status_code == 422
    assert "Nobody hands over to themselves." in answer.content.decode()
    assert "alone again" in answer.content.decode()
    with pytest.raises(LedgerError, match="to themselves"):
        actions.hand_over(by=technician, outgoing=people[0], incoming=people[0])


def test_both_names_are_printed_where_the_sheet_is_signed(people, technician_client, technician):
    address = f"/{technician.collection.slug}/handover/paper/?outgoing=N-002&incoming=N-012"
    answer = technician_client.get(address)
    assert answer["Content-Type"] == "application/pdf"
    with pikepdf.open(io.BytesIO(answer.content)) as pdf:
        assert "handover" in str(pdf.docinfo["/Title"]).casefold()
    signs = handover(technician, now=clock.now(), signs=people).signs
    assert [name for _, name in signs] == ["Ines Holt", "Tamsin Yorke"]


@pytest.mark.parametrize("field", ["opens", "where"])
def test_a_code_is_refused_with_a_sentence_and_what_was_typed_stays(
    technician_client, technician, people, field
):
    address = f"/{technician.collection.slug}/keys/"
    sent = {"opens": "roller door", "where": "hook 3", "held_by": "N-002"}
    answer = technician_client.post(address, sent | {field: "keypad 4711"})
    assert answer.status_code == 422
    page = answer.content.decode()
    assert "Codes never stand here" in page
    assert not HeldKey.objects.exists()
    assert technician_client.post(address, sent).status_code == 302
    assert lines(technician)["keys"] == ["roller door | Ines Holt, hook 3 | "]


def test_a_key_changes_hands_and_comes_off_the_list(technician_client, technician, people):
    key = actions.keep_key(by=technician, now=clock.now(), opens="cage", held_by=people[0])
    base = f"/{technician.collection.slug}/keys/{key.pk}/"
    technician_client.post(base, {"opens": "cage", "held_by": "N-012", "where": ""})
    assert lines(technician)["keys"] == ["cage | Tamsin Yorke | "]
    technician_client.post(f"{base}drop/")
    assert lines(technician)["keys"] == []


def test_who_only_looks_sees_neither_keys_nor_the_handover(viewer_client, viewer):
    for page in ("handover/", "handover/paper/", "keys/"):
        assert viewer_client.get(f"/{viewer.collection.slug}/{page}").status_code == 403


def test_more_of_everything_asks_no_more_queries(by, road, people, technician, technician_client):
    address = f"/{road.collection.slug}/handover/"

    def add(mark: int) -> None:
        piece = a_piece(technician, code=f"E-1{mark}")
        fault(**by, code=piece.code, symptom="hums")
        note(**by, subject=piece.code, telling=Telling(words="odd"), odd=True)
        actions.keep_key(by=technician, now=clock.now(), opens=f"bay {mark}", held_by=people[0])
        pairs(desk, kind, 6, code=f"OS-{mark}")
        terms = lending.Terms("x", date(2026, 1, 1), date(2026, 2, 1), "M")
        lent = a_piece(technician, code=f"E-2{mark}").code
        lending.lend(**by, pieces=[lending.Handed(lent)], to=people[1], terms=terms)

    desk = Desk(technician)
    kind = output_tubes(desk)
    actions.hand_over(by=technician, outgoing=people[0], incoming=people[1])
    add(20)
    technician_client.get(address)
    with CaptureQueriesContext(connection) as few:
        assert technician_client.get(address).status_code == 200
    for mark in range(30, 33):
        add(mark)
    with CaptureQueriesContext(connection) as many:
        technician_client.get(address)
    assert len(many) <= len(few)

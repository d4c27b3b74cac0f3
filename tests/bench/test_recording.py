"""Recording through the pages: what is typed becomes an entry, what is refused stays typed."""

from datetime import date

import pytest
from django.contrib.messages import get_messages
from django.core.files.uploadedfile import SimpleUploadedFile

from collection.bench import actions
from collection.bench.forms import FORMS
from collection.bench.models import Fault
from collection.bench.queries import state_of
from collection.catalogue.models import Photo, Piece
from collection.custody.actions import add_party
from collection.ledger import proof
from collection.ledger.models import Event
from tests.bench.builders import a_piece, address, recorded
from tests.catalogue.photo_samples import drawn, saved

pytestmark = pytest.mark.django_db


@pytest.fixture
def amp(technician):
    return a_piece(technician)


def state(piece: Piece):
    return state_of(Piece.objects.select_related("subject__state").get(pk=piece.pk))


def last(piece: Piece) -> Event:
    return Event.objects.filter(subject=piece.subject).order_by("-sequence").first()


def said(answer) -> str:
    return " ".join(str(message) for message in get_messages(answer.wsgi_request))


FILLED = {
    "noted": {"words": "hums at 2 o'clock"},
    "faulted": {"symptom": "pops in standby"},
    "fault_settled": {"fault": "F-001", "outcome": "fixed"},
    "repaired": {"what": "output transformer rewound"},
    "modified": {"what": "second input", "reversible": "yes"},
    "inspected": {"level": "played-hot", "result": "works", "minutes": "25"},
    "safety_tested": {"passed": "yes", "earth_ohms": "0.08", "insulation_megohms": "50"},
    "tagged_out": {"reason": "smoke", "check": "bench check"},
    "tag_lifted": {"check": "bench check", "result": "passed"},
    "serviced": {"what": "cleaned"},
}


@pytest.mark.parametrize("kind", FORMS)
def test_every_kind_is_written_from_its_page_and_leads_back_to_the_piece(
    technician, technician_client, amp, kind
):
    how = {"collection": amp.collection, "by": technician, "code": amp.code}
    actions.fault(symptom="hum", **how)
    if kind == "tag_lifted":
        actions.tag_out(reason="smoke", **how)
    assert technician_client.get(address(amp, kind)).status_code == 200
    answer = recorded(technician_client, amp, kind, **FILLED[kind])
    assert answer.status_code == 302
    assert answer["Location"] == f"/{amp.collection.slug}/pieces/{amp.code}/"
    assert last(amp).kind == kind
    there = f"/{amp.collection.slug}/book/{last(amp).sequence}/"
    page = technician_client.get(answer["Location"]).content.decode()
    assert f'<a class="go" href="{there}">Entry {last(amp).sequence}</a>' in page
    assert proof.verify(amp.collection).fits


def test_nothing_else_is_recorded_at_the_bench(technician_client, amp):
    assert technician_client.get(address(amp, "sold")).status_code == 404


def test_a_viewer_records_nothing(viewer_client, technician):
    piece = a_piece(technician)
    assert recorded(viewer_client, piece, "noted", words="x").status_code == 403
    assert viewer_client.get(address(piece)).status_code == 403


def test_a_repair_of_about_1985_that_somebody_told_of(technician_client, amp):
    answer = recorded(
        technician_client, amp, "repaired", what="rope handle replaced",
        when="about 1985", how="told", who="the last owner", certainty="likely",
    )  # fmt: skip
    assert answer.status_code == 302
    event = last(amp)
    assert (event.happened, event.source) == ("1985~", "told")
    assert (event.source_note, event.certainty) == ("the last owner", "likely")


def test_a_date_that_cannot_be_read_keeps_everything_typed(technician_client, amp):
    answer = recorded(technician_client, amp, "repaired", what="rewound", when="last blue moon")
    assert answer.status_code == 422
    page = answer.content.decode()
    assert "This date cannot be read: write for example" in page
    assert 'value="rewound"' in page
    assert 'value="last blue moon"' in page
    assert last(amp).kind == "described"


def test_a_date_that_was_read_is_echoed_when_the_form_comes_back(technician_client, amp):
    answer = recorded(technician_client, amp, "repaired", when="about 1985")
    assert answer.status_code == 422
    assert "Read as 1985~" in answer.content.decode()


def test_a_repair_names_who_did_it_and_ends_the_fault_it_was_for(
    technician, technician_client, amp
):
    party = add_party(collection=amp.collection, by=technician, name="Winder in Utrecht")
    fault = actions.fault(collection=amp.collection, by=technician, code=amp.code, symptom="hum")
    recorded(
        technician_client, amp, "repaired", what="rewound", by_whom=party.code,
        fault=fault.code, removed_kept="shelf 4",
    )  # fmt: skip
    assert last(amp).names == {"by_whom": party.code, "fault": fault.code}
    assert last(amp).facts["removed_kept"] == "shelf 4"
    assert state(amp).open_faults == ()


def test_parties_and_faults_of_others_cannot_be_chosen(
    technician, technician_client, stranger, amp
):
    theirs = add_party(collection=stranger.collection, by=stranger, code="N-900", name="Somebody")
    answer = recorded(technician_client, amp, "repaired", what="rewound", by_whom=theirs.code)
    assert answer.status_code == 422
    assert "by_whom" in answer.context["form"].errors


def test_a_fault_that_comes_back_is_the_same_fault(technician, technician_client, amp):
    fault = actions.fault(collection=amp.collection, by=technician, code=amp.code, symptom="hum")
    recorded(technician_client, amp, "faulted", fault=fault.code)
    assert Fault.objects.of(amp.collection).count() == 1
    assert last(amp).facts["again"] is True
    assert last(amp).facts["symptom"] == "hum"


def test_a_new_fault_says_what_it_does(technician_client, amp):
    answer = recorded(technician_client, amp, "faulted", intermittent="on")
    assert answer.status_code == 422
    assert "symptom" in answer.context["form"].errors


def test_a_double_tap_writes_once_and_opens_one_fault(technician_client, amp):
    for _ in range(2):
        answer = recorded(technician_client, amp, "faulted", symptom="pops", once="tap-1")
        assert answer.status_code == 302
    assert Event.objects.of(amp.collection).filter(kind="faulted").count() == 1
    assert Fault.objects.of(amp.collection).count() == 1


def test_a_check_without_minutes_and_one_too_short_to_be_hot(technician_client, amp):
    recorded(technician_client, amp, "inspected", level="played-hot", result="works", minutes="10")
    proofs = state(amp).proofs
    assert proofs[0].level == "powered"
    recorded(technician_client, amp, "inspected", level="bench-checked", result="works")
    assert state(amp).proofs[0].level == "bench-checked"
    assert last(amp).facts["mains_volts"] == ""


def test_a_check_under_a_tag_is_written_and_the_question_it_opens_is_shown(
    technician, technician_client, amp
):
    actions.tag_out(collection=amp.collection, by=technician, code=amp.code, reason="smoke")
    answer = recorded(technician_client, amp, "inspected", level="powered", result="works")
    assert answer.status_code == 302
    assert "The book asks: It carries DO NOT POWER (smoke)" in said(answer)


def test_a_tag_comes_off_only_with_its_check_and_a_result_that_passed(
    technician, technician_client, amp
):
    actions.tag_out(collection=amp.collection, by=technician, code=amp.code, reason="smoke")
    for typed in ({"result": "passed"}, {"check": "bench check"}):
        assert recorded(technician_client, amp, "tag_lifted", **typed).status_code == 422
    failed = recorded(technician_client, amp, "tag_lifted", check="bench check", result="failed")
    assert failed.status_code == 422
    assert "The check failed; DO NOT POWER stays." in failed.content.decode()
    assert 'value="bench check"' in failed.content.decode()
    assert state(amp).tag is not None
    recorded(technician_client, amp, "tag_lifted", check="bench check", result="passed")
    assert state(amp).tag is None


def test_a_safety_test_lifts_the_tag_when_it_is_the_check_asked_for(
    technician, technician_client, amp
):
    actions.tag_out(collection=amp.collection, by=technician, code=amp.code, reason="water")
    recorded(technician_client, amp, "safety_tested", passed="yes", lifts_tag="on")
    assert state(amp).tag is None
    assert state(amp).safety_passed_on is not None


def test_a_photo_becomes_evidence_for_its_entry(technician_client, amp):
    photo = SimpleUploadedFile("x.txt", saved(drawn(), "JPEG"), content_type="text/plain")
    assert recorded(technician_client, amp, "noted", words="scar", photo=photo).status_code == 302
    assert Photo.objects.of(amp.collection).get().entry == last(amp).sequence


def test_a_file_that_is_no_photo_is_refused_beside_its_field(technician_client, amp):
    sent = SimpleUploadedFile("amp.jpg", b"not a picture at all", content_type="image/jpeg")
    answer = recorded(technician_client, amp, "noted", words="a long story", photo=sent)
    assert answer.status_code == 422
    assert "photo" in answer.context["form"].errors
    assert "a long story" in answer.content.decode()
    assert last(amp).kind == "described"


def test_a_good_photo_on_a_form_that_comes_back_is_asked_for_again(technician_client, amp):
    photo = SimpleUploadedFile("x.jpg", saved(drawn(), "JPEG"), content_type="image/jpeg")
    answer = recorded(technician_client, amp, "noted", photo=photo)
    assert "Choose the photo once more" in answer.content.decode()


def test_strings_go_on_today(technician, technician_client):
    guitar = a_piece(technician, kind="instrument", code="G-900")
    recorded(technician_client, guitar, "serviced", what="strings")
    strung = dict(state(guitar).serviced)["strings"]
    assert strung == last(guitar).happened
    assert date.fromisoformat(strung)

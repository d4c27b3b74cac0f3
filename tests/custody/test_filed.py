"""Papers filed with an incident: kept by hash, handed out to whoever works there alone."""

import hashlib
import html

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile

from collection.catalogue.photo.accept import PhotoRefused
from collection.custody import actions
from collection.custody.filed.actions import file_paper
from collection.custody.filed.models import FiledPaper
from collection.ledger.models import Event
from tests.builders import client_of
from tests.catalogue.photo_samples import MARKER, drawn, exif, saved

LETTER = b"%PDF-1.7\n1 0 obj<<>>endobj\n%%EOF"


@pytest.fixture(autouse=True)
def photo_folder(settings, tmp_path):
    settings.PHOTOS = tmp_path


@pytest.fixture
def incident(story):
    return story.stolen("G-003")


def at(story, path):
    return f"/{story.collection.slug}/places/{path}"


def test_a_pdf_is_kept_byte_for_byte_and_the_book_says_its_hash(story, incident):
    row = file_paper(subject=incident.subject, by=story.by, title="Release", content=LETTER)
    assert bytes(row.data) == LETTER
    assert row.sha256 == hashlib.sha256(LETTER).hexdigest()
    entry = Event.objects.of(story.collection).get(sequence=row.entry)
    assert row.sha256 in entry.words


def test_the_same_bytes_are_filed_once(story, incident):
    for _ in range(2):
        file_paper(subject=incident.subject, by=story.by, title="Release", content=LETTER)
    assert FiledPaper.objects.of(story.collection).count() == 1


def test_neither_picture_nor_pdf_is_refused(story, incident):
    with pytest.raises(PhotoRefused, match="ZIP archive"):
        file_paper(
            subject=incident.subject, by=story.by, title="x", content=b"PK\x03\x04" + bytes(90)
        )
    assert not FiledPaper.objects.of(story.collection).exists()


def test_a_pdf_is_a_download_for_who_works_there(story, incident, viewer_client):
    row = file_paper(subject=incident.subject, by=story.by, title="Release", content=LETTER)
    answer = client_of(story.by).get(at(story, f"filed/{row.pk}/"))
    assert answer.content == LETTER
    assert answer["Content-Disposition"].startswith("attachment")
    assert answer["X-Content-Type-Options"] == "nosniff"
    assert viewer_client.get(at(story, f"filed/{row.pk}/")).status_code == 403


def test_a_filed_picture_is_shown_without_what_the_camera_wrote(story, incident):
    scan = saved(drawn(), "JPEG", exif=exif())
    row = file_paper(subject=incident.subject, by=story.by, title="Release", content=scan)
    answer = client_of(story.by).get(at(story, f"filed/{row.pk}/"), follow=True)
    shown = b"".join(answer.streaming_content)
    assert shown.startswith(b"\xff\xd8\xff")
    assert MARKER.encode() not in shown


def test_a_release_is_written_with_its_paper_and_opens_the_first_gate(story, incident, keeper):
    actions.recover(collection=story.collection, by=story.by, code="G-003", at=story.warehouse.code)
    sent = {
        "reference": "HH 1182",
        "chain": "repairer's shop, 23 March\n\nproperty store",
        "paper": SimpleUploadedFile("release.pdf", LETTER),
        "once": "one press",
    }
    client = client_of(story.by)
    answer = client.post(at(story, "of/G-003/released/"), sent, follow=True)
    text = html.unescape(answer.content.decode())
    assert "written down" in text
    row = FiledPaper.objects.of(story.collection).get()
    assert row.subject == incident.subject
    assert f"/filed/{row.pk}/" in text
    event = Event.objects.of(story.collection).get(kind="released")
    assert event.facts["chain"] == ["repairer's shop, 23 March", "property store"]
    assert event.facts["papers"] == [row.sha256]
    told = {"answer": "answered", "because": "release on paper"}
    client_of(keeper).post(at(story, "of/G-003/gates/police/"), told)
    assert [gate["name"] for gate in story.state("G-003").detail["gates"]] == ["police"]


def test_a_refused_release_keeps_what_was_typed(story, incident):
    actions.recover(collection=story.collection, by=story.by, code="G-003", at=story.warehouse.code)
    sent = {"reference": "HH 1182", "paper": SimpleUploadedFile("x.pdf", b"GIF89a, not a PDF")}
    answer = client_of(story.by).post(at(story, "of/G-003/released/"), sent)
    text = html.unescape(answer.content.decode())
    assert answer.status_code == 422
    assert "a GIF picture" in text
    assert 'value="HH 1182"' in text

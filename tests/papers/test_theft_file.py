"""The file of a theft: tasks with their day and paper, papers that are handed out, comparison."""

import html
import io
from datetime import datetime, timedelta

import pikepdf
import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import connection
from django.test.utils import CaptureQueriesContext

from collection.catalogue.actions import add_photo
from collection.custody import actions as custody
from collection.custody.filed.models import FiledPaper
from collection.custody.models import Town
from collection.desk.post.summary import reminders, weekly
from collection.ledger.errors import LedgerError
from collection.ledger.models import Event
from collection.papers.models import PaperMade
from collection.papers.theft import actions, queries
from collection.papers.theft.comparing import one_piece, pairs
from collection.papers.theft.models import Shop, TheftTask
from collection.papers.theft.papers import NoticeRefused, make_notice, make_officer
from collection.papers.theft.scene import Asked, guessed
from registry import clock
from tests.builders import client_of
from tests.catalogue.photo_samples import MARKER, drawn, exif, saved
from tests.typesetting.reading import text_of as words_of

GONE = datetime.fromisoformat("2026-03-14T12:15:00+01:00")
LETTER = b"%PDF-1.7\n1 0 obj<<>>endobj\n%%EOF"


@pytest.fixture(autouse=True)
def photo_folder(settings, tmp_path):
    settings.PHOTOS = tmp_path


@pytest.fixture
def client(story):
    return client_of(story.by)


@pytest.fixture
def incident(story):
    room = story.room
    room.latitude, room.longitude = 53.5507, 9.9930
    room.save()
    return story.stolen()


def a_shop(story, name, latitude, longitude, kind="dealer"):
    town = Town(name=name, country="DE", latitude=latitude, longitude=longitude)
    return actions.add_shop(
        collection=story.collection, by=story.by, name=f"Shop in {name}", kind=kind, town=town
    )


def opened(story, incident, **asked):
    return actions.open_tasks(incident=incident, by=story.by, asked=Asked(**asked))


def at(story, path):
    return f"/{story.collection.slug}/papers/theft/{path}"


def text_of(answer, status=200):
    assert answer.status_code == status, answer.status_code
    return html.unescape(answer.content.decode())


def test_the_shops_are_told_nearest_first_and_far_ones_are_left_out(story, incident):
    a_shop(story, "Bremen", 53.0758, 8.8072, "auction")
    a_shop(story, "Munich", 48.1374, 11.5755)
    a_shop(story, "Altona", 53.5500, 9.9350, "pawnshop")
    made = opened(story, incident)
    shops = [task for task in made if task.key == "shop"]
    assert [task.party.name for task in shops] == ["Shop in Altona", "Shop in Bremen"]
    assert shops[0].hint == "Altona, 4 km from the place"
    assert "pawnshop" in shops[0].what


def test_listing_again_adds_what_is_new_and_nothing_twice(story, incident):
    first = len(opened(story, incident))
    a_shop(story, "Altona", 53.5500, 9.9350)
    assert [task.key for task in opened(story, incident)] == ["shop"]
    assert TheftTask.objects.of(story.collection).count() == first + 1


def test_abroad_is_guessed_from_where_the_sites_are(story, incident):
    assert guessed(incident).abroad
    assert not guessed(incident).carnet
    assert "customs" in [task.key for task in opened(story, incident, abroad=True)]


def test_a_task_is_red_once_its_moment_has_passed_undone(story, incident, client):
    opened(story, incident, camera_hours=48)
    now = GONE + timedelta(hours=47)
    cameras = TheftTask.objects.get(incident=incident, key="cameras")
    assert not queries.line_of(cameras, {}, now=now).late
    assert queries.line_of(cameras, {}, now=now + timedelta(hours=2)).late
    text = text_of(client.get(at(story, f"{incident.code}/tasks/")))
    assert 'data-s="over"' in text
    assert "written over after 48 hours" in text.casefold()


def test_a_task_is_done_with_its_paper_and_ticks_its_step(story, incident, client):
    opened(story, incident)
    task = TheftTask.objects.get(incident=incident, key="police")
    sent = {"how": "done", "paper": SimpleUploadedFile("receipt.pdf", LETTER)}
    client.post(at(story, f"task/{task.pk}/done/"), sent)
    task.refresh_from_db()
    row = FiledPaper.objects.get(subject=incident.subject)
    assert (task.paper, task.done_by) == (row, story.by.code)
    incident.refresh_from_db()
    assert "police" in incident.steps
    assert incident.report == "pending"
    told = Event.objects.of(story.collection).filter(kind="described", subject=incident.subject)
    assert ["task police", f"done, paper {row.sha256}"] in [
        pair for event in told for pair in event.facts["said"]
    ]


def test_nothing_is_done_without_a_paper_or_a_word(story, incident, client):
    opened(story, incident)
    task = TheftTask.objects.get(incident=incident, key="truck")
    with pytest.raises(LedgerError, match="File the paper"):
        actions.finish_task(task=task, by=story.by)
    text = text_of(client.post(at(story, f"task/{task.pk}/done/"), {"how": "done"}), 422)
    assert "File the paper, or say why there is none." in text
    sent = {"how": "not-apply", "because": "no truck on this leg"}
    client.post(at(story, f"task/{task.pk}/done/"), sent)
    assert "does not apply" in text_of(client.get(at(story, f"{incident.code}/tasks/")))
    client.post(at(story, f"task/{task.pk}/done/"), {"undo": "1"})
    task.refresh_from_db()
    assert (task.done_at, task.because, task.applies) == (None, "", True)


def test_a_moment_typed_for_a_task_is_read_on_the_clock_where_it_happened(story, incident, client):
    opened(story, incident)
    task = TheftTask.objects.get(incident=incident, key="insurer")
    assert task.due_at is None
    sent = {"whose": "Ada Quist", "due_at": "2026-03-16T12:15"}
    client.post(at(story, f"task/{task.pk}/hand/"), sent)
    task.refresh_from_db()
    assert task.due_at == GONE + timedelta(hours=48)
    assert 'value="2026-03-16T12:15"' in text_of(client.get(at(story, f"task/{task.pk}/")))


def test_the_policys_hours_set_the_insurers_day(story, incident, client):
    sent = {"camera_hours": "72", "within_km": "300", "notify_hours": "24"}
    client.post(at(story, f"{incident.code}/tasks/open/"), sent)
    task = TheftTask.objects.get(incident=incident, key="insurer")
    assert (task.due_at, task.due_because) == (GONE + timedelta(hours=24), "24 hours by the policy")


def test_a_list_of_tasks_takes_a_fixed_number_of_queries(story, incident, client):
    opened(story, incident)
    address = at(story, f"{incident.code}/tasks/")
    with CaptureQueriesContext(connection) as few:
        client.get(address)
    for number in range(6):
        a_shop(story, f"Town {number}", 53.5 + number / 100, 9.9)
    opened(story, incident)
    with CaptureQueriesContext(connection) as many:
        client.get(address)
    assert len(many) == len(few)


def test_the_list_of_shops_takes_a_fixed_number_of_queries(story, client):
    with CaptureQueriesContext(connection) as few:
        client.get(at(story, "shops/"))
    for number in range(6):
        a_shop(story, f"Town {number}", 53.5, 9.9)
    with CaptureQueriesContext(connection) as many:
        client.get(at(story, "shops/"))
    assert len(many) <= len(few)


def test_a_shop_lies_in_a_town_of_the_gazetteer(story, client):
    Town.objects.create(
        name="Bremen", search="bremen", country="DE", latitude=53.07582, longitude=8.80717,
        zone="Europe/Berlin", population=560_000,
    )  # fmt: skip
    sent = {"name": "Weser Pfand", "kind": "pawnshop", "town": "bremen", "once": "one press"}
    for _ in range(2):
        client.post(at(story, "shops/"), sent)
    shop = Shop.objects.of(story.collection).get()
    assert (shop.town, shop.latitude) == ("Bremen", 53.07582)
    text = text_of(client.post(at(story, "shops/"), {**sent, "town": "Nowhere-on-Sea"}), 422)
    assert "knows no such town" in text


def test_the_weeks_letter_counts_what_is_late_and_names_nobody(story, incident):
    a_shop(story, "Altona", 53.5500, 9.9350)
    opened(story, incident)
    body = weekly(story.collection, today=GONE.date() + timedelta(days=10)).body
    assert f"{incident.code}: police" in body
    assert "shops not told" in body
    assert "Altona" not in body
    keys = [one.key for one in reminders(story.collection, today=GONE.date().replace(year=2027))]
    assert f"entry {incident.code}" in keys
    before = reminders(story.collection, today=GONE.date().replace(year=2027) - timedelta(days=1))
    assert before == []


# -- papers ----------------------------------------------------------------------------------
def photo_of(story, code, *, shade, **how):
    picture = saved(drawn((64, 40 + shade)), "JPEG", exif=exif())
    subject = story.pieces[code].subject
    return add_photo(collection=story.collection, by=story.by, subject=subject, data=picture, **how)


def notice(story, incident, language="de"):
    return make_notice(incident=incident, by=story.by, language=language, now=clock.now())


def test_a_notice_with_another_pieces_serial_is_refused(story, incident, client):
    piece = story.pieces["G-003"]
    piece.finish = "dark stain, sold with HB-1147"
    piece.save()
    with pytest.raises(NoticeRefused, match="serial or mark of another piece"):
        notice(story, incident)
    text = text_of(client.post(at(story, f"{incident.code}/notice.pdf"), {"language": "de"}), 422)
    assert "G-003, its looks, gives the serial or mark of another piece" in text
    assert not PaperMade.objects.exists()


def test_a_notice_with_another_pieces_photo_is_refused(story, incident):
    theirs = photo_of(story, "A-007", shade=1)
    incident = custody.update_report(incident=incident, by=story.by, photos={"G-003": theirs.pk})
    with pytest.raises(NoticeRefused, match="The photo chosen for G-003 is of another piece"):
        notice(story, incident)


@pytest.mark.parametrize(
    ("language", "said"),
    [("de", "noch nicht gemeldet"), ("nl", "nog niet gemeld"), ("fr", "pas encore signal"),
     ("nb", "ikke meldt"), ("da", "endnu ikke anmeldt"), ("en", "not reported to the police")],
)  # fmt: skip
def test_the_notice_speaks_the_language_of_the_place(story, incident, language, said):
    pdf = notice(story, incident, language)
    with pikepdf.open(io.BytesIO(pdf)) as opened_pdf:
        assert str(opened_pdf.Root.Lang).startswith(language)
        assert len(opened_pdf.pages) == 1
    text = words_of(pdf)
    assert said.casefold() in text.casefold()
    assert "L8-5I-04B7" in text


def test_pictures_of_a_notice_carry_nothing_of_the_camera(story, incident):
    photo_of(story, "G-003", shade=1)
    pdf = notice(story, incident)
    with pikepdf.open(io.BytesIO(pdf)) as opened_pdf:
        streams = [
            raw for one in opened_pdf.objects if isinstance(one, pikepdf.Stream)
            for raw in (bytes(one.read_raw_bytes()),)
        ]  # fmt: skip
        images = [
            one for one in opened_pdf.objects
            if isinstance(one, pikepdf.Stream) and one.get("/Subtype") == "/Image"
        ]  # fmt: skip
    assert images
    assert not any(MARKER.encode() in raw or b"Exif" in raw for raw in streams)


def test_the_officers_sheet_has_owners_marks_values_and_proof(story, incident):
    photo_of(story, "G-003", shade=1)
    text = words_of(make_officer(incident=incident, by=story.by, now=clock.now()))
    for said in ("L85I04B7", "MV7F03", "R18406", "MV7F19", "18,800.00", "not recorded"):
        assert said in text, said
    made = PaperMade.objects.get()
    assert (made.paper, made.subject) == ("officer", incident.subject)


def test_the_language_is_offered_by_the_country_of_the_place(story, incident, client):
    address = f"/{story.collection.slug}/papers/notice/{incident.code}/"
    text = text_of(client.get(address))
    assert '<option value="de" selected>German (own translation, have it read)</option>' in text
    answer = client.post(at(story, f"{incident.code}/notice.pdf"), {"language": "de"})
    assert answer["Content-Type"] == "application/pdf"
    assert answer.content.startswith(b"%PDF-")


# -- side by side ----------------------------------------------------------------------------
def test_views_that_both_sides_have_come_first(story):
    ours = [photo_of(story, "G-003", shade=n, view=v) for n, v in enumerate(("front", "scar"), 1)]
    theirs = [photo_of(story, "E-004", shade=9, view="scar")]
    found = pairs(ours, theirs)
    assert [pair.view for pair in found] == ["scar", "front"]
    assert found[0].ours == (ours[1],)
    assert found[0].theirs == (theirs[0],)


def test_one_piece_is_held_against_itself_over_the_years(story):
    first, later = (photo_of(story, "G-003", shade=n, view="grain") for n in (1, 2))
    assert [(p.ours, p.theirs) for p in one_piece([later, first])] == [((first,), (later,))]


def test_a_finders_photo_is_filed_with_the_incident_and_stands_beside_ours(story, incident, client):
    ours = photo_of(story, "G-003", shade=1, view="scar")
    sent = {
        "view": "scar",
        "from_whom": "a repairer, by mail",
        "photo": SimpleUploadedFile("found.png", saved(drawn((70, 50)), "PNG")),
    }
    client.post(at(story, "compare/G-003/found/"), sent)
    row = FiledPaper.objects.get(subject=incident.subject)
    assert (row.photo.view, row.from_whom) == ("scar", "a repairer, by mail")
    text = text_of(client.get(at(story, "compare/G-003/")))
    assert f"/photos/{ours.pk}/page/" in text
    assert f"/photos/{row.photo_id}/page/" in text


def test_what_the_photos_said_is_a_note_on_the_piece(story, incident, client):
    sent = {"verdict": "the same piece", "because": "screw hole", "beside": "a finder's photo"}
    client.post(at(story, "compare/G-003/said/"), sent)
    event = Event.objects.of(story.collection).filter(kind="noted").latest("sequence")
    assert event.facts["about"] == "photos compared"
    assert event.words == "Beside a finder's photo: the same piece. screw hole"
    text = text_of(client.post(at(story, "compare/G-003/said/"), {"because": "grain"}), 422)
    assert 'value="grain"' in text


def test_photos_of_another_collections_piece_are_not_shown(story, client):
    text = text_of(client.get(at(story, "compare/G-003/?with=Z-999")))
    assert "No piece is called Z-999." in text


def test_a_report_in_a_sentence_finds_serial_and_owners_mark(story, client, viewer_client):
    search = f"/{story.collection.slug}/search/"
    text = text_of(client.get(search, {"q": "somebody reports L8-5?-04B1"}))
    assert "a candidate, never an identity" in text
    assert '<mark class="differs">?</mark>' in text
    assert "/compare/G-003/" in text
    assert "owner's mark" in text_of(client.get(search, {"q": "mark MV-7F-2?"}))
    seen = text_of(viewer_client.get(search, {"q": "mark MV-7F-2?"}))
    assert "owner's mark" not in seen
    assert "MV-7F-22" not in seen

"""What a phone asks for before the network goes, and how its queue is answered."""

import json
import re
from datetime import time, timedelta

import pytest
from django.test import Client

from collection.bench.actions import tag_out
from collection.catalogue.actions import add_piece
from collection.desk.offline import worker
from collection.desk.offline.queries import MOST
from collection.ledger.models import Event
from collection.road.actions import travel
from collection.road.models import Died, RigPosition
from registry import clock
from registry.findings import findings
from registry.queued import NO_REASON
from tests.builders import a_member, client_of
from tests.road.builders import a_road

pytestmark = pytest.mark.django_db


@pytest.fixture
def road(technician):
    """A show tonight that is over late, so that it is on whenever tests run."""
    today = clock.today(technician.collection.zone_info)
    return a_road(technician, on=today, doors=time(23, 58), on_stage=time(23, 59), off_stage=None)


@pytest.fixture
def at(collection):
    return lambda path: f"/{collection.slug}/{path}"


@pytest.fixture
def queue(technician, collection, at):
    """Sends as the phone does: the member in a header, the time in the form."""
    client = client_of(technician)

    def send(path, *, by=technician.code, **fields):
        return client.post(at(path), fields, headers={"X-Queued": by})

    return send


def _entries(collection, **wanted):
    return Event.objects.of(collection).filter(**wanted)


# -- the worker -------------------------------------------------------------------------------
def test_the_worker_stands_at_the_root_for_everybody_and_is_asked_for_anew():
    answer = Client().get("/sw.js")
    assert answer.status_code == 200
    # A worker's scope ends at its own folder unless a header widens it (W3C Service Workers,
    # "scope"), and its script must come as JavaScript.
    assert answer["Content-Type"].startswith("text/javascript")
    assert answer["Cache-Control"] == "no-cache"
    assert "Set-Cookie" not in answer.headers


def test_the_worker_keeps_every_file_that_a_page_loads(technician_client, collection):
    script = Client().get("/sw.js").text
    kept = set(json.loads(re.search(r"self\.kept = ({.*?});", script)[1])["files"])
    page = technician_client.get(f"/{collection.slug}/show/").text
    loaded = set(re.findall(r'(?:src|href)="(/static/[^"]+)"', page))
    assert loaded
    assert loaded <= kept
    assert not [name for name in kept if "/ext/" in name]


def test_the_worker_names_files_as_the_manifest_hashes_them(monkeypatch):
    class Storage:
        hashed_files = {"collection/js/light.js": "collection/js/light.0123456789ab.js",
                        "collection/js/offline/worker.js": "worker.0123456789ab.js",
                        "admin/js/core.js": "admin/js/core.0123456789ab.js"}  # fmt: skip

    monkeypatch.setattr(worker, "staticfiles_storage", Storage())
    monkeypatch.setattr(worker, "static", lambda name: Storage.hashed_files[name])
    script = worker.script()
    files = json.loads(re.search(r"self\.kept = ({.*?});", script)[1])["files"]
    assert files == ["collection/js/light.0123456789ab.js", "worker.0123456789ab.js"]
    assert 'importScripts("worker.0123456789ab.js")' in script


# -- pages to keep ----------------------------------------------------------------------------
def _kept(client, at) -> list[str]:
    return client.get(at("waiting/kept/")).json()["pages"]


def test_the_evening_comes_first_then_the_pieces_on_tour(technician_client, road, at):
    kept = _kept(technician_client, at)
    show, tour = road.show.code, road.tour.code
    assert kept[:3] == [at(""), at("show/"), at("waiting/")]
    evening = {f"road/tours/{tour}/rig/", f"road/shows/{show}/grid/", f"road/shows/{show}/log/",
               "places/map/"}  # fmt: skip
    pieces = {"bench/sheets/A-003/", "bench/record/A-003/", "places/of/A-003/move/",
              "bench/record/A-003/faulted/", "bench/sheets/A-018/"}  # fmt: skip
    assert {at(path) for path in evening | pieces} <= set(kept)


def test_every_kept_page_opens_for_the_member_it_is_kept_for(
    technician_client, viewer_client, road, at
):
    for client in (technician_client, viewer_client):
        answers = {page: client.get(page).status_code for page in _kept(client, at)}
        assert {page: status for page, status in answers.items() if status != 200} == {}


def test_a_viewer_keeps_no_form(viewer_client, road, at):
    assert not [page for page in _kept(viewer_client, at) if "record" in page or "move" in page]


def test_no_page_of_a_piece_with_its_values_is_kept(technician_client, road, at):
    kept = _kept(technician_client, at)
    private = ("pieces/", "papers/", "valued", "people/", "stock/", "book/")
    assert not [page for page in kept for part in private if page.startswith(at(part))]


def test_another_collection_is_not_listed(technician_client, stranger, road, at):
    a_road(stranger, on=road.show.on, doors=time(23, 58), on_stage=time(23, 59), off_stage=None)
    assert all(page.startswith(at("")) for page in _kept(technician_client, at))
    assert client_of(stranger).get(at("waiting/kept/")).status_code == 404


def test_without_any_show_tonight_is_kept_all_the_same(technician_client, at):
    assert _kept(technician_client, at) == [at(""), at("show/"), at("waiting/")]


def test_however_much_travels_the_list_ends(technician, technician_client, road, at):
    for number in range(100, 160):
        piece = add_piece(
            collection=road.collection, by=technician, code=f"E-{number}", kind="effect"
        )
        travel(tour=road.tour, piece=piece)
    kept = _kept(technician_client, at)
    assert len(kept) == MOST
    assert at("bench/record/A-003/") in kept


def test_the_list_takes_the_same_few_queries_however_much_travels(
    technician, technician_client, road, at, django_assert_max_num_queries
):
    for number in range(100, 120):
        piece = add_piece(
            collection=road.collection, by=technician, code=f"E-{number}", kind="effect"
        )
        travel(tour=road.tour, piece=piece)
    with django_assert_max_num_queries(8):
        assert len(_kept(technician_client, at)) > 60


def test_a_token_and_the_clock_are_given_to_a_member_alone(technician, technician_client, at):
    answer = technician_client.get(at("waiting/ready/"))
    assert "no-store" in answer["Cache-Control"]
    told = answer.json()
    assert told["member"] == technician.code
    assert len(told["token"]) > 30
    assert told["now"][:10] == f"{clock.now():%Y-%m-%d}"
    assert "token" not in Client().get(at("waiting/ready/")).text


def test_the_page_of_what_waits_says_so_where_no_script_runs(technician_client, at):
    page = technician_client.get(at("waiting/")).text
    assert "<noscript>" in page
    assert "runs no script" in page


# -- answers to the queue ---------------------------------------------------------------------
def test_what_is_written_is_told_as_written(queue, road, collection):
    told = queue(f"road/shows/{road.show.code}/note/", line="hum", once="n1")
    assert told.status_code == 200
    assert told.json() == {"written": True, "to": f"/{collection.slug}/", "asks": []}
    assert _entries(collection, kind="noted").get().words == "hum"


@pytest.mark.parametrize("kind", ["note", "died", "move", "fault", "log"])
def test_sent_twice_counts_as_sent_and_is_written_once(queue, road, collection, kind):
    show = road.show.code
    path, fields, written = {
        "note": (f"road/shows/{show}/note/", {"line": "hum"}, "noted"),
        "died": (f"road/shows/{show}/died/1/", {}, "died"),
        "move": ("places/of/A-003/move/", {"to": road.venue.code}, "moved"),
        "fault": ("bench/record/A-003/faulted/", {"symptom": "crackles"}, "faulted"),
        "log": (f"road/shows/{show}/log/", {"heater_hours": "5"}, "played"),
    }[kind]
    before = _entries(collection, kind=written).count()
    for _ in range(2):
        told = queue(path, once="tap", **fields)
        assert told.status_code == 200, told.text
        assert told.json()["written"] is True
    assert _entries(collection, kind=written).count() == before + 1


def test_a_refusal_comes_with_its_reasons_in_words(queue, road, collection):
    told = queue("places/of/A-003/move/", to="NOWHERE", once="m1")
    assert told.status_code == 422
    assert told.json()["refused"][0].endswith(": This is not a place of the collection.")
    told = queue("bench/record/A-003/faulted/", symptom="hums", when="abuot 1985", once="f1")
    assert told.status_code == 422
    assert told.json()["refused"][0].startswith("When: This date cannot be read")
    told = queue(f"road/shows/{road.show.code}/note/", line="", once="n1")
    assert told.json() == {"refused": ["The line was empty; nothing was written."]}
    assert not _entries(collection, once__in=["m1", "f1", "n1"]).exists()


def test_a_press_that_the_register_cannot_take_is_refused_not_lost(queue, road):
    RigPosition.objects.update(piece=None)
    told = queue(f"road/shows/{road.show.code}/died/1/", once="d1")
    assert told.status_code == 422
    assert "no piece that could die" in told.json()["refused"][0]


def test_what_is_gone_or_not_allowed_is_refused_in_words(queue, road, viewer, at):
    told = queue("road/shows/W-999/note/", line="hum", once="n1")
    assert (told.status_code, len(told.json()["refused"])) == (404, 1)
    sent = {"line": "hum", "once": "n2"}
    path = at(f"road/shows/{road.show.code}/note/")
    told = client_of(viewer).post(path, sent, headers={"X-Queued": viewer.code})
    assert told.status_code == 403
    assert "does not include writing" in told.json()["refused"][0]


def test_nobody_sends_what_another_wrote_on_the_same_phone(queue, road, collection):
    other = a_member(collection)
    told = queue(f"road/shows/{road.show.code}/note/", by=other.code, line="hum", once="n1")
    assert told.status_code == 409
    assert not _entries(collection, kind="noted").exists()


def test_after_the_session_has_ended_the_queue_is_told_to_sign_in(at, road):
    sent = {"line": "hum", "once": "n1"}
    path = at(f"road/shows/{road.show.code}/note/")
    told = Client().post(path, sent, headers={"X-Queued": road.by.code})
    assert told.status_code == 401
    assert told.json()["sign_in"].startswith("/sign-in/?next=")


def test_a_stale_token_is_told_apart_from_being_written(road, collection, at):
    client = Client(enforce_csrf_checks=True)
    client.force_login(road.by.person)
    path, headers = at(f"road/shows/{road.show.code}/note/"), {"X-Queued": road.by.code}
    sent = {"line": "hum", "once": "n1"}
    assert client.post(path, sent, headers=headers).status_code == 403
    token = client.get(at("waiting/ready/")).json()["token"]
    fresh = headers | {"X-CSRFToken": token}
    assert client.post(path, sent, headers=fresh).json()["written"] is True


def test_thirty_that_waited_leave_no_thirty_lines_on_the_next_page(technician, queue, road, at):
    client = client_of(technician)
    then = (clock.now() - timedelta(minutes=9)).isoformat()
    headers = {"X-Queued": technician.code}
    path, sent = at("bench/record/A-003/noted/"), {"words": "hum"}
    client.post(path, sent | {"once": "a", "written_at": then}, headers=headers)
    assert "Written: hum" not in client.get(at("more/")).text
    client.post(path, sent | {"once": "b"}, headers=headers)
    assert "Written: hum" in client.get(at("more/")).text


def test_an_older_message_is_no_refusal_and_is_not_lost(technician, road, at):
    client = client_of(technician)
    note = at(f"road/shows/{road.show.code}/note/")
    client.post(note, {"line": ""})  # leaves 'the line was empty' for the next page
    told = client.post(note, {"line": "hum", "once": "n"}, headers={"X-Queued": technician.code})
    assert told.json()["written"] is True
    assert "The line was empty" in client.get(at("more/")).text


def test_a_question_that_the_book_asks_is_handed_back(queue, road, technician, collection):
    tag_out(collection=collection, by=technician, code="A-018", reason="smells hot")
    told = queue("bench/record/A-018/inspected/", level="powered", result="works", once="i1")
    assert told.json()["written"] is True
    asked = _entries(collection, kind="asked").filter(facts__about="A-018")
    assert len(told.json()["asks"]) == asked.count() > 0


# -- the phone's time -------------------------------------------------------------------------
def test_each_entry_keeps_the_time_the_phone_gives(queue, road, collection):
    then = clock.now() - timedelta(minutes=20)
    sent = {"written_at": then.isoformat()}
    queue(f"road/shows/{road.show.code}/note/", line="hum", once="n", **sent)
    queue("bench/record/A-003/noted/", words="warm", once="r", **sent)
    queue("places/of/A-003/move/", to=road.venue.code, once="m", **sent)
    for once in "nrm":
        event = _entries(collection, once=once).get()
        assert event.written_at == then
        assert event.happened == then.isoformat(timespec="seconds")


def test_sound_that_came_back_before_the_death_was_sent_ends_that_silence(queue, road):
    died, back = (clock.now() - timedelta(minutes=n) for n in (12, 9))
    path = f"road/shows/{road.show.code}/died/1/"
    queue(path, once="d", written_at=died.isoformat())
    queue(f"{path}back/", once="b", written_at=back.isoformat())
    row = Died.objects.get()
    assert (row.sound_back_at - row.at).total_seconds() == pytest.approx(180, abs=1)
    # The same press again, after the next death, does not end that one.
    later = clock.now() - timedelta(minutes=2)
    queue(path, once="d2", written_at=later.isoformat())
    queue(f"{path}back/", once="b", written_at=back.isoformat())
    assert Died.objects.filter(sound_back_at=None).count() == 1


def test_sound_that_came_back_within_seconds_ends_the_silence_too(queue, road):
    # The network was away for less than a minute: the press still comes before 'sound is back'.
    died, back = (clock.now() - timedelta(seconds=n) for n in (20, 12))
    path = f"road/shows/{road.show.code}/died/1/"
    queue(path, once="d", written_at=died.isoformat())
    queue(f"{path}back/", once="b", written_at=back.isoformat())
    row = Died.objects.get()
    assert row.sound_back_at is not None
    assert (row.sound_back_at - row.at).total_seconds() == pytest.approx(8, abs=1)


# -- reading a page ---------------------------------------------------------------------------
def test_findings_are_read_with_the_label_of_their_field():
    page = """<form><div class="wrong-list"><p><b>Not saved yet: 2 to put right.</b> Still here.</p>
    <p>The lot is empty.</p><ul><li><a href="#x">Hours</a></li></ul></div>
    <div class="field wrong"><label for="h">Hours <span class="optional">optional</span></label>
    <input id="h"><div class="wrong-note"><p>Ensure it is at most&nbsp;24.</p></div></div>
    <div class="field"><label>Other</label><p class="hint">a hint</p></div></form>"""
    assert findings(page) == ["The lot is empty.", "Hours: Ensure it is at most 24."]
    assert findings("<p>Choose</p>") == []


def test_a_page_without_a_reason_is_no_success(queue, road):
    told = queue("places/of/A-003/move/", find="1", q="truck", once="x")
    assert told.status_code == 422
    assert told.json() == {"refused": [NO_REASON]}

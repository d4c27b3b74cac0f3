"""Pages of custody as visitors use them."""

import html
import re

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile

from collection.custody import actions
from collection.custody.models import Incident, Party, Place, Town
from collection.ledger.models import Event
from collection.ledger.telling import Telling
from tests.builders import client_of
from tests.catalogue.photo_samples import drawn, saved


def text_of(answer, status=200):
    assert answer.status_code == status, answer.status_code
    return html.unescape(answer.content.decode())


def at(story, path):
    return f"/{story.collection.slug}/places/{path}"


@pytest.fixture(autouse=True)
def photo_folder(settings, tmp_path):
    settings.PHOTOS = tmp_path


@pytest.fixture
def client(story):
    return client_of(story.by)


def test_the_tree_counts_what_is_here_and_what_is_inside(story, client):
    actions.move(collection=story.collection, by=story.by, code="G-003", to="CASE-03")
    rows = re.findall(r"<tr>.*?</tr>", text_of(client.get(at(story, ""))), re.S)
    cells = {
        re.search(r'class="code">(.*?)<', row)[1]: re.findall(r'class="count">(\d+)', row)
        for row in rows[1:]
    }
    assert cells["CASE-03"] == ["1", "1"]
    assert cells[story.warehouse.code] == ["0", "1"]


def test_a_place_lists_what_is_in_everything_inside_it(story, client):
    actions.move(collection=story.collection, by=story.by, code="G-003", to="CASE-03")
    text = text_of(client.get(at(story, f"{story.warehouse.code}/")))
    assert "Long Eight" in text
    assert "Warehouse, Case 03" in text


def test_a_viewer_sees_a_private_place_as_private(story, viewer_client):
    room = actions.add_place(
        collection=story.collection, by=story.by, name="Music room", kind="room", inside=story.home
    )
    actions.move(collection=story.collection, by=story.by, code="G-003", to=room.code)
    for path in ("", f"{story.home.code}/", f"{room.code}/"):
        text = text_of(viewer_client.get(at(story, path)))
        for word in ("Saltings", "Kirkcudbright", "Music room"):
            assert word not in text


def test_a_technician_sees_a_private_place(story, client):
    assert "Kirkcudbright" in text_of(client.get(at(story, f"{story.home.code}/")))


@pytest.fixture
def odense(db):
    return Town.objects.create(
        name="Odense", search="odense", country="DK", latitude=55.396, longitude=10.388,
        zone="Europe/Copenhagen", population=180_863,
    )  # fmt: skip


NEW = {"name": "Reed bench", "kind": "workshop", "town": "Odense", "opens_minutes": "30"}


def test_a_typed_town_is_not_guessed_but_offered(story, client, odense):
    text = text_of(client.post(at(story, "add/"), NEW))
    assert "Which of these?" in text
    assert f'name="pick" value="{odense.pk}"' in text
    assert 'value="Reed bench"' in text
    assert not Place.objects.filter(name="Reed bench").exists()


def test_a_chosen_town_brings_its_zone(story, client, odense):
    client.post(at(story, "add/"), {**NEW, "pick": odense.pk})
    place = Place.objects.get(name="Reed bench")
    assert (place.zone, place.country, place.latitude) == ("Europe/Copenhagen", "DK", 55.396)


def test_towns_come_while_typing(story, client, odense):
    assert "Europe/Copenhagen" in text_of(client.get(at(story, "towns/?town=ode")))
    assert "no such town" in text_of(client.get(at(story, "towns/?town=xyzzy")))


def test_a_place_cannot_be_put_into_itself_by_changing_it(story, client):
    room = actions.add_place(
        collection=story.collection, by=story.by, name="Bay 1", kind="room", inside=story.warehouse
    )
    form = {"name": "Warehouse", "kind": "site", "inside": room.code, "town": "Carlisle"}
    text = text_of(client.post(at(story, f"{story.warehouse.code}/edit/"), form))
    assert f"{room.code} is inside {story.warehouse.code}" in text


def test_a_press_on_a_place_moves_the_piece(story, client):
    text = text_of(client.get(at(story, "of/G-003/move/")))
    assert f'name="to" value="{story.room.code}"' in text
    answer = client.post(at(story, "of/G-003/move/"), {"to": story.room.code})
    assert answer.status_code == 302
    assert story.state("G-003").place.code == story.room.code


def test_a_press_sent_twice_moves_once(story, client):
    text = text_of(client.get(at(story, "of/G-003/move/")))
    once = re.search(r'name="once" value="(\w+)"', text)[1]
    for _ in range(2):
        client.post(at(story, "of/G-003/move/"), {"to": story.room.code, "once": once})
    assert Event.objects.of(story.collection).filter(kind="moved").count() == 1


def test_looking_for_a_place_keeps_what_was_typed_and_writes_nothing(story, client):
    asked = {"find": "1", "q": "haf", "words": "rolled by two", "manner": "freight-road"}
    text = text_of(client.post(at(story, "of/G-003/move/"), asked))
    assert "Hafenhalle" in text
    assert "rolled by two" in text
    assert re.search(r'value="freight-road"[^>]*checked', text)
    assert "Warehouse" not in re.search(r'id="places".*?</ul>', text, re.S)[0]
    assert not Event.objects.of(story.collection).filter(kind="moved").exists()


def test_a_heavy_piece_says_so_before_it_is_lifted(story, client):
    assert "26 kg: more than one person lifts" in text_of(client.get(at(story, "of/A-007/move/")))
    assert "more than one person" not in text_of(client.get(at(story, "of/G-003/move/")))


def test_a_case_is_as_heavy_as_what_is_in_it(story, client):
    actions.move(collection=story.collection, by=story.by, code="A-007", to="CASE-03")
    text = text_of(client.get(at(story, "of/CASE-03/move/")))
    assert "At least 26 kg" in text


def test_freight_by_air_is_warned_of_and_leaves_the_piece_unproven(story, client):
    text = text_of(client.get(at(story, "of/A-007/move/")))
    assert "lithium cells and solvents are dangerous goods" in text
    assert "Out of a cold hold" in text
    sent = {"to": story.room.code, "manner": "freight-air"}
    client.post(at(story, "of/A-007/move/"), sent)
    assert story.state("A-007").detail["unproven_because"] == "freight by air"


def test_it_is_here_and_not_found(story, client):
    client.post(at(story, "of/G-003/sight/"), {"to": "CASE-03"})
    assert story.state("G-003").place.code == "CASE-03"
    client.post(at(story, "of/G-003/not-found/"), {"to": "CASE-03", "search_how": "blind count"})
    assert story.state("G-003").standing == "not_found"


def test_a_viewer_records_nothing(story, viewer_client):
    for path in ("of/G-003/move/", "of/G-003/sight/", "theft/", "add/", "people/add/"):
        assert viewer_client.get(at(story, path)).status_code == 403


def test_a_theft_begins_with_the_police_and_takes_a_whole_case(story, client):
    actions.move(collection=story.collection, by=story.by, code="G-003", to="CASE-03")
    actions.move(collection=story.collection, by=story.by, code="E-004", to="CASE-03")
    start = text_of(client.get(at(story, "theft/?everything_in=CASE-03")))
    assert start.index("Police first") < start.index("Look for a piece")
    sent = {"everything_in": "CASE-03", "place": story.room.code, "place_words": "dressing room",
            "last_seen": "14 Mar 2026 10:50", "found_gone": "14 Mar 2026 12:15"}  # fmt: skip
    answer = client.post(at(story, "theft/"), sent)
    incident = Incident.objects.of(story.collection).get()
    assert answer["Location"].endswith(f"/incidents/{incident.code}/")
    assert {story.state(c).standing for c in ("G-003", "E-004")} == {"stolen"}
    page = text_of(client.get(answer["Location"]))
    for said in ("Police first. Confront nobody", "Police, by telephone", "Venue security"):
        assert said in page


def test_a_theft_of_nothing_is_asked_about_and_what_was_typed_stays(story, client):
    text = text_of(client.post(at(story, "theft/"), {"place_words": "locked dressing room"}))
    assert "Say what is gone" in text
    assert "locked dressing room" in text


def test_a_theft_started_from_a_piece_has_it_ticked(story, client):
    text = text_of(client.get(at(story, "theft/?piece=G-003")))
    assert re.search(r'value="G-003"[^>]*checked', text)


def test_pieces_found_are_ticked_on_without_losing_those_ticked(story, client):
    asked = {"find": "1", "q": "return", "pieces": ["G-003"]}
    text = text_of(client.post(at(story, "theft/"), asked))
    assert re.search(r'value="G-003"[^>]*checked', text)
    assert re.search(r'value="E-004"(?![^>]*checked)', text)


def test_telling_the_police_opens_the_gate_of_the_notice(story, client):
    incident = story.stolen("G-003")
    address = at(story, f"incidents/{incident.code}/")
    assert "before the notice goes out: report it" in text_of(client.get(address))
    client.post(f"{address}tick/", {"step": "police"})
    text = text_of(client.get(address))
    assert "the notice may go out" in text
    assert "reported, reference pending" in text
    client.post(address, {"police_reference": "DR 14", "police_station": "Hamburg"})
    assert "reported, with reference" in text_of(client.get(address))


def test_a_step_ticked_too_early_is_taken_back(story, client):
    incident = story.stolen("G-003")
    address = at(story, f"incidents/{incident.code}/")
    client.post(f"{address}tick/", {"step": "insurer"})
    assert "1 of 11 done" in text_of(client.get(address))
    client.post(f"{address}tick/", {"undo": "insurer"})
    assert "0 of 11 done" in text_of(client.get(address))


def test_an_incident_is_shown_as_it_stood(story, client):
    incident = story.stolen()
    actions.tick(
        incident=incident, by=story.by, step="police",
        telling=Telling(happened="2026-03-14T12:20:00+01:00"),
    )  # fmt: skip
    actions.tick(
        incident=incident, by=story.by, step="security",
        telling=Telling(happened="2026-03-14T12:50:00+01:00"),
    )  # fmt: skip
    actions.recover(
        collection=story.collection, by=story.by, code="G-003", at=story.warehouse.code,
        telling=Telling(happened="2026-03-23T10:00:00+01:00"),
    )  # fmt: skip
    address = at(story, f"incidents/{incident.code}/")
    # The collection's clock is Lisbon's: 11:40 there is 12:40 in Hamburg.
    then = text_of(client.get(address, {"at": "14 Mar 2026 11:40"}))
    assert "The page as it stood on" in then
    assert "1 of 11 done" in then
    assert re.search(r"2</span>\s*of 2 still gone", then)
    now = text_of(client.get(address))
    assert "2 of 11 done" in now
    assert re.search(r"1</span>\s*of 2 still gone", now)


def test_a_moment_that_cannot_be_read_is_said_beside_it(story, client):
    incident = story.stolen()
    text = text_of(client.get(at(story, f"incidents/{incident.code}/"), {"at": "soonish"}))
    assert "cannot be read" in text


def test_a_name_as_contact_is_refused_on_the_sheets(story, client):
    incident = story.stolen("G-003")
    pk = story.pieces["G-003"].pk
    sent = {"contact_words": "Jonah Rae", f"held_{pk}": ["chip at the second fret"]}
    text = text_of(client.post(at(story, f"incidents/{incident.code}/sheets/"), sent))
    assert "This names a person" in text


def test_no_mark_held_back_is_refused_on_the_sheets(story, client):
    incident = story.stolen("G-003")
    text = text_of(
        client.post(at(story, f"incidents/{incident.code}/sheets/"), {"contact_words": "desk"})
    )
    assert "Hold one mark back" in text


def test_gates_are_answered_by_a_keeper_on_the_page(story, client, keeper_client):
    story.stolen("G-003")
    sent = {"at": story.warehouse.code, "identity": ["serial"]}
    answer = client.post(at(story, "of/G-003/recovered/"), sent)
    address = answer["Location"]
    assert "a keeper answers" in text_of(client.get(address))
    assert client.post(f"{address}police/", {"answer": "answered"}).status_code == 403
    keeper_client.post(f"{address}insurer/", {"answer": "not-apply"})
    assert story.state("G-003").detail.get("gates") is None
    for gate in ("police", "insurer", "condition", "notices"):
        sent = {"answer": "not-apply", "because": "nothing was claimed"}
        keeper_client.post(f"{address}{gate}/", sent)
    kinds = {"answer": "answered", "evidence": ["dates inside"], "other": "cigar burn; serial"}
    kinds["paper"] = SimpleUploadedFile("burn.png", saved(drawn(), "PNG"))
    keeper_client.post(f"{address}identity/", kinds)
    text = text_of(client.get(address))
    assert "It is held again, and unproven" in text
    assert "Does not apply, because" in text
    assert story.state("G-003").standing == "held"


def test_a_party_shows_what_they_have_and_own(story, client, viewer_client):
    actions.move(
        collection=story.collection, by=story.by, code="G-003", to=story.warehouse.code,
        holder=story.repairer.code,
    )  # fmt: skip
    text = text_of(client.get(at(story, f"people/{story.repairer.code}/")))
    assert "Long Eight" in text
    Party.objects.filter(pk=story.repairer.pk).update(phone="01632 960142")
    address = at(story, f"people/{story.repairer.code}/")
    assert "01632 960142" in text_of(client.get(address))
    assert "01632 960142" not in text_of(viewer_client.get(address))


@pytest.mark.parametrize("path", ["", "people/", "incidents/", "of/G-003/move/", "theft/"])
def test_a_page_takes_a_fixed_number_of_queries(story, client, path, django_assert_max_num_queries):
    for number in range(12):
        actions.add_place(
            collection=story.collection, by=story.by, name=f"Bay {number}", kind="room",
            inside=story.warehouse,
        )  # fmt: skip
        actions.add_party(collection=story.collection, by=story.by, name=f"Firm {number}")
        story.stolen("E-004")
    with django_assert_max_num_queries(11):
        client.get(at(story, path))


def test_a_gate_is_not_passed_without_a_word_and_what_was_typed_stays(story, client, keeper_client):
    story.stolen("G-003")
    address = client.post(
        at(story, "of/G-003/recovered/"), {"at": story.warehouse.code, "identity": ["serial"]}
    )["Location"]
    text = text_of(keeper_client.post(f"{address}police/", {"answer": "answered"}), 422)
    assert "a gate is not passed without a word" in text
    thin = {"answer": "answered", "evidence": ["dates inside"], "because": "read by torch"}
    text = text_of(keeper_client.post(f"{address}identity/", thin), 422)
    assert "Identity needs two kinds of evidence beside the serial" in text
    assert re.search(r'value="dates inside"[^>]* checked', text)
    assert 'value="read by torch"' in text
    assert story.state("G-003").detail.get("gates") is None


def test_a_move_says_the_place_by_its_name(story, client):
    answer = client.post(at(story, "of/G-003/move/"), {"to": story.warehouse.code}, follow=True)
    text = text_of(answer)
    assert "G-003: Moved to Warehouse" in text
    assert f"Moved to {story.warehouse.code}" not in text


def test_seen_gone_now_keeps_the_hour_for_the_officer(story, client):
    sent = {"pieces": ["G-003"], "found_gone": "now"}
    client.post(at(story, "theft/"), sent)
    assert "T" in Incident.objects.get().found_gone


def test_an_hour_no_day_has_is_said_to_be_one(story, client):
    text = text_of(client.post(at(story, "theft/"), {"pieces": ["G-003"], "last_seen": "25:99"}))
    assert "a day has no such hour" in text

"""Pages of the road, through a browser's eyes: tours, rig plan, shows, presses, backups."""

import json
import re
from datetime import date, datetime, time, timedelta

import pytest
from django.core.management import call_command
from django.utils import timezone

from collection.bench.actions import tag_out
from collection.catalogue.actions import add_circuit, add_piece
from collection.custody.actions import move, not_found, report_theft
from collection.ledger.models import Event, State
from collection.ledger.telling import Telling
from collection.road import answer
from collection.road.actions import (
    add_outside_candidate,
    add_show,
    add_tour,
    seen_here,
    set_position,
    sound_back,
)
from collection.road.models import (
    Died,
    OutsideCandidate,
    RigPosition,
    RoadQuote,
    Session,
    Show,
    Tour,
    TransitFigures,
    Travelling,
)
from collection.road.overrides.actions import set_override
from collection.road.plan import rig_of
from collection.road.queries import wanted
from collection.road.taken import sounding
from registry import clock
from tests.road.builders import BERGEN, a_place, a_road, an_amplifier

pytestmark = pytest.mark.django_db


@pytest.fixture
def today(collection):
    return timezone.localdate(timezone=collection.zone_info)


@pytest.fixture
def road(technician, today):
    """A road whose show is over late tonight, so that now is before it whenever tests run."""
    return a_road(technician, on=today, doors=time(23, 58), on_stage=time(23, 59), off_stage=None)


@pytest.fixture
def ask(technician_client, collection):
    def get(path, **given):
        answer = technician_client.get(f"/{collection.slug}/{path}", given)
        return answer.status_code, answer.content.decode()

    return get


@pytest.fixture
def press(technician_client, collection):
    def post(path, **given):
        return technician_client.post(f"/{collection.slug}/{path}", given)

    return post


def kinds(collection):
    return list(Event.objects.of(collection).order_by("sequence").values_list("kind", flat=True))


def test_a_tour_is_added_shown_and_changed(ask, press, collection, technician):
    assert "No tour is planned" in ask("road/tours/")[1]
    a_place(technician, "Truck B", "truck", code="TRUCK-B")
    made = press("road/tours/add/", name="Autumn", starts_on="2024-10-30", ends_on="2024-12-12",
                 places=["TRUCK-B"])  # fmt: skip
    tour = Tour.objects.of(collection).get()
    assert made.headers["Location"].endswith(f"/road/tours/{tour.code}/")
    assert "TRUCK-B" in ask(f"road/tours/{tour.code}/")[1]
    press(f"road/tours/{tour.code}/change/", name="Winter", starts_on="2024-10-30",
          ends_on="2024-12-12")  # fmt: skip
    tour.refresh_from_db()
    assert (tour.name, tour.places.count()) == ("Winter", 0)


def test_a_tour_that_ends_before_it_starts_is_refused_and_what_was_typed_stays(press):
    refused = press("road/tours/add/", name="Backwards", starts_on="2024-12-12",
                    ends_on="2024-10-30").content.decode()  # fmt: skip
    assert "would end before it starts" in refused
    assert 'value="Backwards"' in refused


def test_a_day_sheet_is_shown_on_the_clock_of_the_venue(ask, road, collection):
    assert collection.zone == "Europe/Lisbon"
    _, page = ask(f"road/shows/{road.show.code}/")
    assert "Europe/Oslo" in page
    assert re.search(r'datetime="[^"]+T16:30:00\+0[12]:00">16:30<', page)


def test_a_show_is_added_and_its_number_is_not_given_twice(press, road, collection):
    sheet = {"venue": road.venue.code, "on": "2024-11-27", "doors": "19:00"}
    address = f"road/tours/{road.tour.code}/add-show/"
    assert "has a show 14 already" in press(address, number=14, **sheet).content.decode()
    press(address, number=15, **sheet)
    show = Show.objects.of(collection).get(number=15)
    assert show.doors == time(19)
    press(f"road/shows/{show.code}/change/", number=15, venue=road.venue.code, on="2024-11-28")
    show.refresh_from_db()
    assert (show.on, show.doors) == (date(2024, 11, 28), None)


def test_a_time_before_load_in_is_after_midnight(road):
    road.show.off_stage = time(0, 30)
    assert road.show.instant("off_stage").date() == road.show.on + timedelta(days=1)
    assert road.show.instant("doors").date() == road.show.on


def test_what_travels_is_kept_with_the_carnet_flag(ask, press, road, technician):
    an_amplifier(technician, "A-030", at=road.truck)
    press(f"road/tours/{road.tour.code}/travel/", piece="A-030")
    assert "not on the carnet" in ask(f"road/tours/{road.tour.code}/")[1]
    press(f"road/tours/{road.tour.code}/travel/", piece="A-030", on_carnet="on")
    assert Travelling.objects.get(piece__code="A-030").on_carnet
    press(f"road/tours/{road.tour.code}/travel/A-030/home/")
    assert not Travelling.objects.filter(piece__code="A-030").exists()


def test_the_rig_plan_shows_piece_backup_and_written_fallback(ask, road):
    _, page = ask(f"road/tours/{road.tour.code}/rig/")
    for said in ("A-003", "A-018", "A-018 from the side", "2B, green", "side of stage, 3 min"):
        assert said in page
    assert "accepted up to step 2" in page


def plan(road, number=2, **changes):
    facts = {"name": "steel amp", "piece": "A-030", "stands": "side"} | changes
    return f"road/tours/{road.tour.code}/rig/{number}/", facts


def test_a_position_is_filled_from_its_form(press, road, technician):
    an_amplifier(technician, "A-030", at=road.truck)
    address, facts = plan(road, fallback_steps="stands: left\r\n\r\nlead: 3B", outage_minutes="4",
                          checks="48 V off on line 11", accepted="A-018")  # fmt: skip
    press(address, **facts)
    made = RigPosition.objects.get(number=2)
    assert made.fallback_steps == ["stands: left", "lead: 3B"]
    assert (made.checks, made.accepted) == (["48 V off on line 11"], ["A-018"])


@pytest.mark.parametrize("role", ["piece", "backup"])
@pytest.mark.parametrize(
    ("happens", "said"),
    [
        (lambda road, by: report_theft(collection=road.collection, by=by, pieces=["A-030"]),
         "A-030 is reported stolen."),
        (lambda road, by: not_found(collection=road.collection, by=by, code="A-030",
                                    looked_at=road.truck.code), "A-030 is not found."),
        (lambda road, by: tag_out(collection=road.collection, by=by, code="A-030",
                                  reason="water"), "A-030 carries DO NOT POWER (water)."),
    ],
    ids=["stolen", "not found", "tagged"],
)  # fmt: skip
def test_what_cannot_play_is_refused_in_a_rig_plan_with_the_reason(
    press, road, technician, role, happens, said
):
    an_amplifier(technician, "A-030", at=road.truck)
    happens(road, technician)
    address, facts = plan(road, **{"piece": "", role: "A-030"})
    refused = press(address, **facts).content.decode()
    assert said in refused
    assert 'value="steel amp"' in refused
    assert not RigPosition.objects.filter(number=2).exists()


def test_a_piece_cannot_stand_behind_itself(press, road, technician):
    an_amplifier(technician, "A-030", at=road.truck)
    address, facts = plan(road, backup="A-030")
    assert "cannot stand behind itself" in press(address, **facts).content.decode()


def test_only_what_heats_can_have_been_left_on(ask, press, road, technician):
    who = {"collection": road.collection, "by": technician}
    wiring = add_circuit(collection=road.collection, name="two pickups, one tone")
    fed = {"mains_volts": 230}
    for number, (code, kind, said) in enumerate(
        [("G-001", "instrument", {"circuit": wiring}), ("K-001", "instrument", fed),
         ("E-001", "effect", {"circuit": wiring}), ("C-001", "cabinet", {})], start=2
    ):  # fmt: skip
        piece = add_piece(**who, code=code, kind=kind, **said)
        set_position(tour=road.tour, number=number, name=code, piece=piece)
    _, page = ask(f"road/shows/{road.show.code}/log/")
    offered = re.findall(r'name="left_on" value="([^"]+)"', page)
    assert offered == ["A-003", "K-001", "E-001"]
    assert 'name="sat_out" value="G-001"' in page
    press(f"road/shows/{road.show.code}/log/", left_on=["G-001"])
    assert not Session.objects.exists()


def test_where_nothing_heats_nothing_is_asked_about_it(ask, press, road, technician):
    guitar = add_piece(collection=road.collection, by=technician, code="G-001", kind="instrument")
    RigPosition.objects.update(piece=guitar, backup=None)
    path = f"road/shows/{road.show.code}/log/"
    assert "left_on" not in ask(path)[1]
    press(path, heater_hours="6.5")
    assert Event.objects.of(road.collection).filter(kind="played").exists()


def test_a_show_is_logged_as_planned_with_one_exception(ask, press, road, collection):
    road.show.on_stage, road.show.off_stage = time(20, 45), time(23)
    road.show.on = road.show.on - timedelta(days=1)
    road.show.save()
    _, page = ask(f"road/shows/{road.show.code}/log/")
    # Line check 16:30, on stage 20:45, off 23:00: 6.5 h of heaters, 2.25 h of high tension.
    assert 'name="heater_hours" value="6.5"' in page
    assert 'name="ht_hours" value="2.25"' in page
    press(f"road/shows/{road.show.code}/log/", troubled=["A-003"], symptom="crackles",
          heater_hours="6.5", ht_hours="2.25")  # fmt: skip
    assert kinds(collection)[-2:] == ["played", "faulted"]
    played = Event.objects.of(collection).get(kind="played")
    assert played.facts["troubled"] == ["A-003"]
    assert played.facts["pieces"] == []
    assert "T23:00" in played.happened
    assert "crackles" in Event.objects.of(collection).get(kind="faulted").facts["symptom"]
    assert "logged" in ask(f"road/shows/{road.show.code}/")[1]


def test_a_clean_show_proves_what_was_played(press, road, collection):
    road.show.on = road.show.on - timedelta(days=1)
    road.show.save()
    press(f"road/shows/{road.show.code}/log/", heater_hours="6.5", ht_hours="2.25")
    state = State.objects.of(collection).get(subject__code="A-003")
    assert state.played_hot_on == road.show.on


def test_sent_twice_a_show_is_logged_once(press, road, collection):
    for _ in range(2):
        press(f"road/shows/{road.show.code}/log/", troubled=["A-003"], once="a-tap")
    assert kinds(collection).count("played") == 1
    assert kinds(collection).count("faulted") == 1


def test_what_died_is_what_the_page_said_played_though_it_was_swapped_meanwhile(
    press, road, collection
):
    """One phone keeps the press without network, another puts the backup into the plan."""
    swapped = {"piece": road.position.backup, "backup": None}
    set_position(tour=road.tour, number=1, name="organ amp", **swapped)
    press(f"road/shows/{road.show.code}/died/1/", once="late", played="A-003")
    assert Event.objects.of(collection).get(kind="died").subject.code == "A-003"
    assert Event.objects.of(collection).get(kind="faulted").subject.code == "A-003"


def test_a_piece_seen_last_night_was_seen_in_last_night_s_hall(road, technician, today):
    """Pressed without network after the show, sent from the next town on the day after."""
    given = {"collection": technician.collection, "by": technician}
    odense = a_place(technician, "Odense hall", "venue", code="V-77", zone="Europe/Copenhagen")
    add_show(**given, tour=road.tour, venue=odense, on=today)
    night = today - timedelta(days=1)
    Show.objects.filter(pk=road.show.pk).update(on=night)
    pressed = datetime.combine(night, time(20), tzinfo=road.show.zone)
    told = Telling(happened=pressed.isoformat(), written_at=pressed)
    sent = datetime.combine(today, time(12), tzinfo=road.show.zone)
    event = seen_here(**given, piece=road.position.piece, now=sent, telling=told)
    assert event.facts["at"] == road.venue.code


def test_of_two_who_press_sound_is_back_the_first_stands(press, road, collection):
    press(f"road/shows/{road.show.code}/died/1/", once="tap-1")
    mine, theirs = Died.objects.get(), Died.objects.get()
    sound_back(died=mine, at=mine.at + timedelta(minutes=2))
    sound_back(died=theirs, at=mine.at + timedelta(minutes=9))
    assert Died.objects.get().sound_back_at == mine.at + timedelta(minutes=2)
    assert theirs.sound_back_at == mine.sound_back_at


def test_it_died_writes_died_and_faulted_and_starts_the_clock(press, road, collection):
    address = f"road/shows/{road.show.code}/died/1/"
    press(address, once="tap-1")
    assert kinds(collection)[-2:] == ["died", "faulted"]
    died = Died.objects.get()
    assert died.sound_back_at is None
    press(address, once="tap-2")
    assert Died.objects.count() == 1
    state = State.objects.of(collection).get(subject__code="A-003")
    assert state.open_faults == 1
    press(f"road/died/{died.pk}/back/")
    died.refresh_from_db()
    assert died.sound_back_at >= died.at
    press(address, once="tap-3")
    again = Event.objects.of(collection).filter(kind="faulted").order_by("-sequence").first()
    assert again.facts["again"] is True


def test_a_press_that_waited_for_the_network_keeps_its_time(press, road, collection):
    pressed = timezone.now() - timedelta(minutes=20)
    press(f"road/shows/{road.show.code}/died/1/", written_at=pressed.isoformat())
    assert abs((Died.objects.get().at - pressed).total_seconds()) < 1
    assert Event.objects.of(collection).get(kind="died").written_at == pressed


def test_with_htmx_a_press_is_answered_by_the_outage_alone(technician_client, road, collection):
    address = f"/{collection.slug}/road/shows/{road.show.code}/died/1/"
    page = technician_client.post(address, headers={"HX-Request": "true"}).content.decode()
    assert "silent" in page
    assert "<html" not in page


def test_a_position_without_a_piece_cannot_die(press, road, collection):
    RigPosition.objects.update(piece=None)
    press(f"road/shows/{road.show.code}/died/1/")
    assert "died" not in kinds(collection)


def test_strings_checks_notes_and_it_did_it_again_are_one_press(press, road, collection):
    RigPosition.objects.update(checks=["48 V off"])
    press("road/strings/A-003/", once="s")
    press("road/strings/A-003/", once="s")
    press(f"road/tours/{road.tour.code}/rig/1/checked/", what="48 V off")
    press(f"road/tours/{road.tour.code}/rig/1/checked/", what="something else")
    press(f"road/shows/{road.show.code}/note/", line="green lead crackles")
    assert kinds(collection)[-3:] == ["serviced", "serviced", "noted"]
    assert Event.objects.of(collection).get(kind="noted").words == "green lead crackles"
    press(f"road/shows/{road.show.code}/died/1/")
    code = Event.objects.of(collection).get(kind="faulted").facts["fault"]
    press(f"road/faults/{code}/again/")
    assert kinds(collection)[-1] == "faulted"


def test_a_viewer_presses_nothing(viewer_client, road, collection):
    path = f"/{collection.slug}/road/shows/{road.show.code}/died/1/"
    assert viewer_client.post(path).status_code == 403
    assert "Strings on" not in viewer_client.get(f"/{collection.slug}/").content.decode()


# -- backup -----------------------------------------------------------------------------------
def test_the_page_and_the_core_give_the_same_list(ask, road, technician):
    an_amplifier(technician, "A-030")
    an_amplifier(technician, "A-031", at=road.truck)
    now = timezone.now()
    found = answer.find(road.collection, member=technician, now=now,
                        **wanted(road.collection, "A-003", now=now))  # fmt: skip
    _, page = ask("road/backup/A-003/")
    listed = re.findall(r'<span class="code">(A-\d+)</span>', page[page.index("winner") :])
    told = [line.code for line in found.options] + [shut.code for shut in found.ruled_out]
    assert list(dict.fromkeys(listed)) == told == ["A-018", "A-031", "A-030"]


def test_the_command_prints_the_list_of_the_page(ask, road, technician, capsys):
    an_amplifier(technician, "A-030")
    an_amplifier(technician, "A-031", at=road.truck)
    call_command("backup", "A-003", "--json")
    told = json.loads(capsys.readouterr().out)
    _, page = ask("road/backup/A-003/")
    listed = re.findall(r'<span class="code">(A-\d+)</span>', page[page.index("winner") :])
    assert list(dict.fromkeys(listed)) == [
        one["code"] for one in (*told["options"], *told["ruled_out"])
    ]
    for one in told["ruled_out"]:
        assert all(reason in page for reason in one["reasons"])


def test_pieces_of_another_kind_are_told_in_one_line(ask, road, technician):
    add_piece(collection=road.collection, by=technician, code="G-001", kind="instrument")
    _, page = ask("road/backup/A-003/")
    assert "1 of another kind" in page
    assert "Its kind is instrument" in page


def test_a_position_answers_under_its_number_and_a_piece_under_its_code(ask, road):
    for code in ("1", "A-003"):
        status, page = ask(f"road/backup/{code}/")
        assert status == 200
        assert "A-018" in page
    assert ask("road/backup/A-999/")[0] == 404
    assert "no position 9" in ask("road/backup/9/")[1]


def test_a_ready_by_that_cannot_be_read_is_said(ask, road):
    assert "is no time" in ask("road/backup/A-003/", by="soonish")[1]


def test_a_quote_by_telephone_changes_the_ranking(ask, press, road, technician, today):
    hire = a_place(technician, "Hire house", "workshop", **BERGEN)
    combo = add_outside_candidate(collection=road.collection, name="Hired combo", at=hire,
                                  kind="amplifier", held_by="hire house",
                                  phone="+47 555 0117")  # fmt: skip
    _, before = ask("road/backup/A-003/")
    assert "tel:+475550117" in before
    assert "Nothing on record shows" in before
    tomorrow = today + timedelta(days=2)
    press(f"road/backup/A-003/quote/{combo.code}/", what="road", basis="confirmed",
          leaves_at=f"{tomorrow}T10:00", arrives_at=f"{tomorrow}T10:30",
          told_by="the hire house")  # fmt: skip
    quote = RoadQuote.objects.of(road.collection).get()
    assert quote.outside == combo
    assert quote.leaves_at.astimezone(road.show.zone).hour == 10
    _, after = ask("road/backup/A-003/")
    assert "Nothing on record shows" not in after


def test_a_quote_that_arrives_before_it_leaves_is_refused(press, road):
    page = press("road/backup/A-003/quote/A-018/", what="road", basis="quoted",
                 leaves_at="2024-11-24T10:00", arrives_at="2024-11-24T09:00")  # fmt: skip
    assert "arrive before it leaves" in page.content.decode()


def test_choosing_keeps_who_authorised_it_and_the_order_in_the_book(press, road, technician):
    an_amplifier(technician, "A-031", at=road.truck)
    press("road/backup/1/choose/A-031/", order="A-031 up from the truck", authorised_by="Ada Quist")
    note = Event.objects.of(road.collection).get(kind="noted")
    assert note.subject.code == "A-031"
    assert note.words == "A-031 up from the truck. Authorised by Ada Quist."
    position = RigPosition.objects.get(number=1)
    assert (position.backup.code, position.stands) == ("A-031", "truck")


def test_choosing_asks_who_authorised_it(press, road):
    page = press("road/backup/1/choose/A-018/", order="as planned").content.decode()
    assert "Write something here." in page


def test_where_to_start_lists_positions_and_finds_a_piece(ask, road, technician_client):
    _, page = ask("road/backup/")
    assert "1 organ amp" in page
    found = technician_client.get(f"/{road.collection.slug}/road/backup/", {"code": "a-003"})
    assert found.headers["Location"].endswith("/road/backup/A-003/")
    assert "No piece has the code A-999" in ask("road/backup/", code="A-999")[1]


def test_planning_figures_are_changed_with_their_basis_in_sight(ask, press, road):
    _, page = ask("road/figures/")
    assert "house rule, below the 80 km/h planned for a van" in page
    given = dict(re.findall(r'name="(\w+)" value="([\d.]+)"', page))
    press("road/figures/", **(given | {"road_km_per_hour": "60"}))
    assert TransitFigures.objects.of(road.collection).get().changed == {"road_km_per_hour": 60.0}
    page = press("road/figures/", **(given | {"detour": "0.5"})).content.decode()
    assert "no road is shorter" in page


def test_a_viewer_reads_what_others_hold_without_their_numbers(
    road, technician, technician_client, viewer_client
):
    held = add_outside_candidate(
        collection=road.collection, name="House combo", kind="amplifier", held_by="promoter",
        at=road.venue, phone="+47 555 0118",
    )  # fmt: skip
    set_override(
        by=technician, position=road.position, show=road.show, outside=held, because="fly date"
    )
    for path in (
        "road/outside/", "road/backup/", "road/backup/1/", f"road/tours/{road.tour.code}/backup/",
        f"road/shows/{road.show.code}/flying/",
    ):  # fmt: skip
        address = f"/{road.collection.slug}/{path}"
        asked, told = technician_client.get(address), viewer_client.get(address)
        assert told.status_code == 200, path
        assert "House combo" in told.content.decode(), path
        assert "555" in asked.content.decode(), path
        assert "555" not in told.content.decode(), path


def test_what_others_hold_is_added_with_a_telephone(ask, press, road):
    press("road/outside/", name="House combo", kind="amplifier", held_by="promoter",
          phone="+47 555 0118", at=road.venue.code)  # fmt: skip
    assert OutsideCandidate.objects.of(road.collection).get().code == "OUT-001"
    assert "tel:+475550118" in ask("road/outside/")[1]


@pytest.mark.parametrize(
    "path",
    ["road/tours/", "road/tours/T-001/", "road/tours/T-001/rig/", "road/shows/W-014/",
     "road/shows/W-014/log/", "road/backup/", "road/backup/A-003/", ""],
)  # fmt: skip
def test_a_page_asks_no_more_when_there_is_more(
    ask, road, technician, path, django_assert_max_num_queries
):
    ask(path)
    with django_assert_max_num_queries(40) as few:
        assert ask(path)[0] == 200
    for number in range(2, 7):
        playing = an_amplifier(technician, f"A-04{number}", at=road.truck)
        behind = an_amplifier(technician, f"A-05{number}", at=road.truck)
        set_position(tour=road.tour, number=number, name=f"amp {number}", piece=playing,
                     backup=behind, strings_every=1, checks=["hum"])  # fmt: skip
        add_show(collection=road.collection, by=technician, tour=road.tour, venue=road.venue,
                 on=road.show.on + timedelta(days=number))  # fmt: skip
        add_tour(collection=road.collection, by=technician, name=f"Tour {number}",
                 starts_on=date(2023, 1, 1), ends_on=date(2023, 2, 1))  # fmt: skip
    with django_assert_max_num_queries(len(few)):
        ask(path)


def test_what_was_taken_stands_on_the_backup_page_until_another_is(ask, press, road, technician):
    an_amplifier(technician, "A-031", at=road.truck)
    sounds = (clock.now() + timedelta(hours=2)).astimezone(road.show.zone)
    order = f"A-031 stands in at Sjøhallen, {sounding(sounds)}"
    press("road/backup/1/choose/A-031/", order=order, authorised_by="Ada Quist, +47 555 0100")
    at = f"{sounds:%H:%M}"
    _, page = ask("road/backup/1/")
    assert f"{order}. Authorised by Ada Quist, +47 555 0100." in page
    assert f"A-031 is coming, sounds at {at}" in re.sub(r"<[^>]+>", "", page)
    assert "Take another</a>" in page
    assert "Take it</a>" not in page
    move(collection=road.collection, by=technician, code="A-031",
         to=a_place(technician, "Store", **BERGEN).code)  # fmt: skip
    _, tonight = ask("")
    assert f"A-031 is coming, sounds at {at}" in re.sub(r"<[^>]+>", "", tonight)
    assert "Find another</a>" in tonight


def test_a_backup_that_is_no_longer_on_the_plan_is_not_said_to_come(press, road, technician):
    an_amplifier(technician, "A-031", at=road.truck)
    press("road/backup/1/choose/A-031/", order="A-031 up", authorised_by="Ada Quist")
    plan = rig_of(road.collection, road.tour, now=clock.now(), member=technician)
    assert plan.lines[0].taken.code == "A-031"
    RigPosition.objects.filter(number=1).update(backup=None)
    plan = rig_of(road.collection, road.tour, now=clock.now(), member=technician)
    assert plan.lines[0].taken is None

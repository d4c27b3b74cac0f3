"""Backups from the register: what is known of pieces, places and quotes becomes a ranking."""

import json
from datetime import date, datetime, timedelta
from io import StringIO

import pytest
from django.core.management import CommandError, call_command

from collection.bench.actions import fault, inspect, settle_fault, tag_out
from collection.bench.models import Fault
from collection.custody.actions import move, not_found
from collection.ledger.telling import Telling
from collection.road import answer, as_json
from collection.road.actions import (
    add_outside_candidate,
    add_quote,
    add_show,
    set_figures,
    set_position,
    travel,
)
from collection.road.needs import NoNeed
from collection.road.queries import wanted
from tests.road.builders import BERGEN, CARLISLE, NOW, OSLO, VOSS, a_place, a_road, an_amplifier

pytestmark = pytest.mark.django_db


@pytest.fixture
def road(technician):
    return a_road(technician)


def found(road, code="A-003", *, now=NOW, member=None, by=""):
    want = wanted(road.collection, code, now=now)
    return answer.find(road.collection, member=member, now=now, by=by, **want)


def codes(result):
    return [line.code for line in result.options]


def reasons(result, code):
    return " ".join(next(shut.reasons for shut in result.ruled_out if shut.code == code))


def test_what_is_planned_at_the_side_sounds_in_minutes(road):
    result = found(road)
    assert codes(result) == ["A-018"]
    assert result.first.option.stands == "side"
    # House rule of transit_rules: a change at the side of the stage takes 3 minutes.
    assert result.first.option.sounds_at == NOW + timedelta(minutes=3)
    assert result.asked.need.ready_by == datetime(2024, 11, 24, 19, tzinfo=OSLO)


def test_a_position_and_its_piece_ask_the_same(road):
    assert codes(found(road, "1")) == codes(found(road, "A-003"))
    with pytest.raises(NoNeed, match="position 9"):
        found(road, "9")
    with pytest.raises(NoNeed, match="A-999"):
        found(road, "A-999")


def test_a_truck_is_where_its_tour_is(road, technician):
    an_amplifier(technician, "A-030", at=road.truck)
    line = next(line for line in found(road).options if line.code == "A-030")
    assert (line.option.stands, line.option.candidate.site.name) == ("truck", "Bergen")


def test_a_case_inside_a_truck_is_in_the_truck(road, technician):
    case = a_place(technician, "Case 07", "case", code="CASE-07", inside=road.truck)
    an_amplifier(technician, "A-030", at=case)
    assert next(o for o in found(road).options if o.code == "A-030").option.stands == "truck"


def test_the_day_after_a_show_the_truck_is_still_there(road, technician):
    an_amplifier(technician, "A-030", at=road.truck)
    day_off = NOW + timedelta(days=1)
    voss = a_place(technician, "Vossasalen", "venue", **VOSS)
    add_show(collection=road.collection, by=technician, tour=road.tour, venue=voss,
             on=date(2024, 11, 27))  # fmt: skip
    result = found(road, now=day_off, by="2024-11-25T20:00")
    assert result.asked.need.at.name == "Voss"
    line = next(line for line in result.options if line.code == "A-030")
    assert line.option.candidate.site.name == "Bergen"
    assert line.option.stands == "truck"


def test_what_others_depend_on_is_ruled_out_with_the_position(road, technician):
    playing = an_amplifier(technician, "A-007", at=road.truck)
    behind = an_amplifier(technician, "A-012", at=road.truck)
    set_position(tour=road.tour, number=3, name="steel amp", piece=playing, backup=behind)
    result = found(road)
    assert "plays at position 3" in reasons(result, "A-007")
    assert "position 3 steel amp without backup" in reasons(result, "A-012")


@pytest.mark.parametrize(
    ("happens", "said"),
    [
        (lambda road, by: tag_out(collection=road.collection, by=by, code="A-030",
                                  reason="water"), "DO NOT POWER (water)"),
        (lambda road, by: tag_out(collection=road.collection, by=by, code="A-030",
                                  reason="smoke", proposed=True), "proposed"),
        (lambda road, by: not_found(collection=road.collection, by=by, code="A-030",
                                    looked_at=road.truck.code), "not found"),
        (lambda road, by: fault(collection=road.collection, by=by, code="A-030",
                                symptom="crackles"), "crackles"),
    ],
    ids=["tagged out", "tag proposed", "not found", "open fault"],
)  # fmt: skip
def test_what_the_book_says_bars(road, technician, happens, said):
    an_amplifier(technician, "A-030", at=road.truck)
    assert "A-030" in codes(found(road))
    happens(road, technician)
    result = found(road)
    assert "A-030" not in codes(result)
    assert said in reasons(result, "A-030")


def test_a_piece_without_a_known_place_is_ruled_out_with_a_sentence(road, technician):
    an_amplifier(technician, "A-030")
    nowhere = a_place(technician, "Somebody's shed")
    an_amplifier(technician, "A-031", at=nowhere)
    result = found(road)
    assert reasons(result, "A-030") == "Nobody has said where it is."
    assert "No town is known for its place, Somebody's shed." in reasons(result, "A-031")


def test_nothing_on_record_is_not_working(road, technician):
    an_amplifier(technician, "A-030", at=road.truck, works_on=None)
    assert "Nothing on record shows that it works." in reasons(found(road), "A-030")


def test_a_private_place_is_told_only_to_those_who_may_know(road, technician, viewer):
    house = a_place(technician, "Home", "house", private=True, **CARLISLE)
    cellar = a_place(technician, "Cellar", "room", inside=house)
    an_amplifier(technician, "A-030", at=cellar)
    told = found(road, member=viewer)
    assert reasons(told, "A-030") == "It is at a private place."
    assert next(s for s in told.ruled_out if s.code == "A-030").known.where == ""
    assert "customs border" in reasons(found(road, member=technician), "A-030")


def test_off_the_carnet_a_piece_stays_on_its_side_of_the_border(road, technician):
    store = a_place(technician, "Warehouse", **CARLISLE)
    away = an_amplifier(technician, "A-030", at=store)
    assert "not on the carnet" in reasons(found(road), "A-030")
    travel(tour=road.tour, piece=away, on_carnet=True)
    line = next(line for line in found(road).options if line.code == "A-030")
    assert line.estimate
    assert line.late_by > timedelta()


def test_a_confirmed_quote_goes_before_an_estimate(road, technician):
    store = a_place(technician, "Warehouse", **CARLISLE)
    away = an_amplifier(technician, "A-030", at=store)
    travel(tour=road.tour, piece=away, on_carnet=True)
    add_show(collection=road.collection, by=technician, tour=road.tour, venue=road.venue,
             on=date(2024, 11, 27))  # fmt: skip
    before = next(line for line in found(road, by="2024-11-27T19:00").options
                  if line.code == "A-030")  # fmt: skip
    assert before.option.basis == "estimate"
    for what, leaves, arrives in (
        ("flight", "2024-11-25T06:00+00:00", "2024-11-25T08:00+00:00"),
        ("hand-out", "2024-11-25T08:00+00:00", "2024-11-25T09:00+00:00"),
    ):
        add_quote(collection=road.collection, by=technician, piece=away, to=road.venue, what=what,
                  leaves_at=datetime.fromisoformat(leaves),
                  arrives_at=datetime.fromisoformat(arrives), basis="confirmed")  # fmt: skip
    after = next(line for line in found(road, by="2024-11-27T19:00").options
                 if line.code == "A-030")  # fmt: skip
    assert after.option.basis == "confirmed"
    assert [leg.basis for leg in after.legs if leg.what == "flight"] == ["confirmed"]


def test_what_others_hold_counts_once_it_is_confirmed(road, technician):
    hire = a_place(technician, "Hire house", "workshop", **BERGEN)
    combo = add_outside_candidate(collection=road.collection, name="Hired combo", at=hire,
                                  kind="amplifier", held_by="hire house",
                                  phone="+47 555 0117")  # fmt: skip
    assert "Nothing on record" in reasons(found(road), combo.code)
    add_quote(collection=road.collection, by=technician, outside=combo, to=road.venue,
              what="road", leaves_at=datetime(2024, 11, 24, 16, 40, tzinfo=OSLO),
              arrives_at=datetime(2024, 11, 24, 17, 5, tzinfo=OSLO),
              basis="confirmed")  # fmt: skip
    result = found(road)
    line = next(line for line in result.options if line.code == combo.code)
    assert line.option.basis == "confirmed"
    # 17:05 at the dock, 10 min warm-up and 5 min check by the house rules of transit_rules.
    assert line.option.sounds_at == datetime(2024, 11, 24, 17, 20, tzinfo=OSLO)


def test_the_planning_figures_of_the_collection_are_used(road):
    set_figures(collection=road.collection, changed={"side_minutes": 7})
    assert found(road).first.option.sounds_at == NOW + timedelta(minutes=7)


def test_a_twin_is_a_twin_whichever_of_the_two_says_so(road, technician):
    twin = an_amplifier(technician, "A-030", at=road.truck, twin=road.position.piece)
    assert twin.twin == road.position.piece
    line = next(line for line in found(road).options if line.code == "A-030")
    assert line.option.closeness == 1


def test_pieces_without_design_are_not_alike(road, technician):
    for code in ("A-040", "A-041"):
        piece = an_amplifier(technician, code, at=road.truck)
        piece.design = piece.circuit = None
        piece.save()
    line = next(line for line in found(road, "A-040").options if line.code == "A-041")
    assert line.option.closeness == 6


def test_frequency_binds_only_where_the_plate_names_one(road, technician):
    an_amplifier(technician, "A-060", at=road.truck, mains_hz="60")
    an_amplifier(technician, "A-056", at=road.truck, mains_hz="50/60")
    result = found(road)
    assert "60 Hz" in reasons(result, "A-060")
    assert "A-056" in codes(result)


def test_a_fault_that_was_fixed_bars_no_longer(road, technician):
    an_amplifier(technician, "A-030", at=road.truck)
    row = fault(collection=road.collection, by=technician, code="A-030", symptom="crackles")
    assert Fault.objects.of(road.collection).count() == 1
    settle_fault(collection=road.collection, by=technician, fault=row, outcome="fixed")
    inspect(collection=road.collection, by=technician, code="A-030", level="powered")
    assert "A-030" in codes(found(road))


def test_questions_to_the_database_do_not_grow_with_pieces(
    road, technician, django_assert_max_num_queries
):
    for number in range(30, 42):
        an_amplifier(technician, f"A-0{number}", at=road.truck)
    want = wanted(road.collection, "A-003", now=NOW)
    with django_assert_max_num_queries(17) as asked:
        result = answer.find(road.collection, member=None, now=NOW, **want)
        assert len(as_json.to_json(result)["options"]) == 13
    few = len(asked)
    for number in range(42, 50):
        an_amplifier(technician, f"A-0{number}", at=road.truck)
    with django_assert_max_num_queries(few):
        answer.find(road.collection, member=None, now=NOW, **want)


def said(*args):
    out = StringIO()
    call_command("backup", *args, stdout=out)
    return out.getvalue()


def test_the_command_gives_the_need_the_options_and_what_is_ruled_out(road, technician):
    an_amplifier(technician, "A-030")
    now = ("--now", NOW.isoformat())
    told = json.loads(said("A-003", "--by", "2024-11-24T19:00", *now, "--json"))
    assert told["need"]["ready_by"] == "2024-11-24T19:00:00+01:00"
    assert told["need"]["at"] == "Bergen"
    assert {"code", "rank", "closeness", "stands", "sounds_at", "margin_minutes", "legs",
            "basis"} <= told["options"][0].keys()  # fmt: skip
    assert told["ruled_out"] == [{"code": "A-030", "reasons": ["Nobody has said where it is."]}]
    assert "A-018" in said("A-003", *now)


def test_the_command_refuses_in_sentences(road, stranger):
    with pytest.raises(CommandError, match="--collection"):
        said("A-003")
    slug = road.collection.slug
    with pytest.raises(CommandError, match="No piece has the code A-999"):
        said("A-999", "--collection", slug)
    with pytest.raises(CommandError, match="is no time"):
        said("A-003", "--by", "soon", "--now", NOW.isoformat(), "--collection", slug)


def test_another_collections_piece_is_no_candidate(road, stranger):
    theirs = a_place(stranger, "Hall", "venue", **BERGEN)
    an_amplifier(stranger, "A-900", at=theirs)
    result = found(road)
    assert "A-900" not in {*codes(result), *(shut.code for shut in result.ruled_out)}


def test_without_a_tour_the_piece_is_looked_for_where_it_is(technician):
    store = a_place(technician, "Warehouse", **CARLISLE)
    for code in ("A-001", "A-002"):
        an_amplifier(technician, code, at=store)
    want = wanted(technician.collection, "A-001", now=NOW)
    result = answer.find(technician.collection, member=technician, now=NOW, **want)
    assert result.asked.show is None
    assert codes(result) == ["A-002"]


def test_by_a_time_of_another_show_the_need_is_there(road, technician):
    voss = a_place(technician, "Vossasalen", "venue", **VOSS)
    add_show(collection=road.collection, by=technician, tour=road.tour, venue=voss,
             on=date(2024, 11, 27))  # fmt: skip
    want = found(road, by="2024-11-27T19:00").asked
    assert (want.need.at.name, want.show.number) == ("Voss", 15)


def test_moving_the_backup_away_makes_it_late_or_out(road, technician):
    store = a_place(technician, "Warehouse", **CARLISLE)
    move(collection=road.collection, by=technician, code="A-018", to=store.code,
         telling=Telling(happened="2024-11-20"))  # fmt: skip
    result = found(road)
    assert result.first is None
    assert [line.code for line in result.options if not line.option.in_time] == ["A-018"]

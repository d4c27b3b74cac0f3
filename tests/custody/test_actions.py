"""What custody writes, and what the book then says."""

import pytest
from django.core.exceptions import PermissionDenied

from collection.core.recovery import GATES, RESTS_ON
from collection.custody import actions
from collection.custody.models import Incident, Place, Town
from collection.ledger.errors import LedgerError, PlanRefused
from collection.ledger.models import Event, Mention
from collection.ledger.queries import open_questions
from collection.ledger.telling import Telling

PAPER = "ab" * 32
TWO_KINDS = ("wood grain or figure on a photo", "repair with its record", "serial")


def moved(story, code, to, **how):
    return actions.move(collection=story.collection, by=story.by, code=code, to=to, **how)


def test_a_town_of_the_gazetteer_brings_country_coordinates_and_zone(story):
    town = Town(name="Odense", search="odense", country="DK", zone="Europe/Copenhagen")
    town.latitude, town.longitude = 55.39594, 10.38831
    place = actions.add_place(
        collection=story.collection, by=story.by, name="Reed bench", kind="workshop", town=town
    )
    assert (place.town, place.country, place.zone) == ("Odense", "DK", "Europe/Copenhagen")
    assert (place.latitude, place.longitude) == (55.39594, 10.38831)


def test_what_is_in_a_case_moves_with_it_by_one_entry(story):
    moved(story, "G-003", "CASE-03")
    before = Event.objects.of(story.collection).count()
    moved(story, "CASE-03", story.room.code)
    assert Event.objects.of(story.collection).count() == before + 1
    assert story.state("G-003").place.code == "CASE-03"
    case = Place.objects.of(story.collection).get(code="CASE-03")
    assert case.inside_id == story.room.pk
    assert case.path == f"/{story.room.code}/CASE-03/"


def test_what_stands_inside_a_moved_truck_keeps_its_path(story):
    given = {"collection": story.collection, "by": story.by}
    actions.add_place(**given, name="Truck A", kind="truck", code="TRUCK-A")
    moved(story, "CASE-03", "TRUCK-A")
    moved(story, "TRUCK-A", story.room.code)
    case = Place.objects.of(story.collection).get(code="CASE-03")
    assert case.path == f"/{story.room.code}/TRUCK-A/CASE-03/"


def test_a_backdated_move_of_a_case_does_not_move_it_now(story):
    moved(story, "CASE-03", story.room.code, telling=Telling(happened="2026-03-14"))
    moved(story, "CASE-03", story.warehouse.code, telling=Telling(happened="2026-03-01"))
    assert Place.objects.of(story.collection).get(code="CASE-03").inside_id == story.room.pk


def test_a_case_cannot_stand_inside_itself(story):
    inner = actions.add_place(
        collection=story.collection, by=story.by, name="Tray", kind="case", inside=story.case
    )
    with pytest.raises(PlanRefused, match="inside itself"):
        moved(story, "CASE-03", inner.code)


def test_a_thing_moves_to_a_place_and_to_nothing_else(story):
    with pytest.raises(LedgerError, match="not a place"):
        moved(story, "G-003", "A-007")


def test_a_move_without_a_date_happened_now_and_not_before_everything(story):
    assert moved(story, "G-003", "CASE-03").placed_us > 0


def test_a_theft_names_every_piece_under_one_incident(story):
    incident = story.stolen()
    assert {story.state(c).standing for c in ("G-003", "E-004")} == {"stolen"}
    assert story.state("A-007").standing == "held"
    named = Mention.objects.filter(subject=incident.subject, role="incident")
    assert {m.entry.subject.code for m in named} == {"G-003", "E-004"}


def test_a_theft_sent_twice_is_one_incident(story):
    first = story.stolen(telling=Telling(once="tap"))
    again = story.stolen(telling=Telling(once="tap"))
    assert first == again
    assert Incident.objects.of(story.collection).count() == 1


def test_a_loss_is_not_found_and_not_stolen(story):
    story.stolen("A-007", kind="loss")
    assert story.state("A-007").standing == "not_found"


def test_a_sighting_of_a_stolen_piece_is_kept_and_asks_a_question(story):
    story.stolen("G-003")
    event = actions.sight(
        collection=story.collection, by=story.by, code="G-003", at=story.warehouse.code
    )
    assert story.state("G-003").standing == "stolen"
    asked = [line.event for line in open_questions(story.collection)]
    assert [one.facts["entry"] for one in asked] == [event.sequence]


def recovered(story, code="G-003", **how):
    return actions.recover(
        collection=story.collection, by=story.by, code=code, at=story.warehouse.code, **how
    )


def written_down(story, gate, code="G-003", **facts):
    """What has to stand behind a gate."""
    given = {"collection": story.collection, "by": story.by, "code": code}
    if gate == "police":
        return actions.release(**given, reference="HH 1182", **facts)
    return actions.settle_title(**given, **{"outcome": "ours", **facts})


def passed(story, keeper, gate, code="G-003", answer="answered", **how):
    if gate in RESTS_ON and answer == "answered":
        written_down(story, gate, code)
    if answer == "answered":
        how.setdefault("papers", (PAPER,))
    return actions.clear_gate(
        collection=story.collection, by=keeper, code=code, gate=gate, answer=answer, **how
    )


def test_what_comes_back_waits_in_quarantine_until_the_last_gate(story, keeper):
    incident = story.stolen("G-003")
    event = recovered(story, found_by=story.repairer.code, identity=TWO_KINDS)
    assert event.names["incident"] == incident.code
    assert event.answers is not None
    for gate in list(GATES)[:-1]:
        passed(story, keeper, gate, evidence=TWO_KINDS if gate == "identity" else ())
        assert story.state("G-003").standing == "quarantined"
    passed(story, keeper, list(GATES)[-1], answer="not-apply", because="it never went out")
    state = story.state("G-003")
    assert state.standing == "held"
    assert state.detail["unproven_because"] == "recovered"


def test_a_recovery_told_by_the_year_alone_does_not_come_before_its_theft(story):
    story.stolen("G-003")
    recovered(story, telling=Telling(happened="2026"))
    assert story.state("G-003").standing == "quarantined"


def test_a_gate_answered_in_the_second_of_the_recovery_stands_after_it(story, keeper):
    story.stolen("G-003")
    recovered(story)
    passed(story, keeper, "police")
    assert [gate["name"] for gate in story.state("G-003").detail["gates"]] == ["police"]


def test_the_first_gate_waits_for_a_release_and_takes_its_papers(story, keeper):
    story.stolen("G-003")
    back = recovered(story)
    call = {"collection": story.collection, "by": keeper, "code": "G-003"}
    with pytest.raises(PlanRefused) as refused:
        actions.clear_gate(**call, gate="police", answer="answered")
    assert refused.value.reasons == (
        "Write down the release first: who gave it back, to whom, under which number.",
        "File the paper or photo that answers it, or say why it does not apply.",
    )
    event = written_down(story, "police", papers=(PAPER,))
    assert event.answers == back.sequence
    cleared = actions.clear_gate(**call, gate="police", answer="answered")
    assert cleared.facts["papers"] == [PAPER]
    assert cleared.facts["rests_on"] == event.sequence


@pytest.mark.parametrize("outcome", ["insurers", "open"])
def test_a_piece_the_insurer_does_not_give_up_stays_apart(story, keeper, outcome):
    story.stolen("G-003")
    recovered(story)
    written_down(story, "insurer", outcome=outcome, paid=True)
    call = {"collection": story.collection, "by": keeper, "code": "G-003", "gate": "insurer"}
    with pytest.raises(PlanRefused, match="has not said that it is ours"):
        actions.clear_gate(**call, answer="answered", papers=(PAPER,))
    written_down(story, "insurer", outcome="ours", paid=True, terms="paid back")
    actions.clear_gate(**call, answer="answered", papers=(PAPER,))
    assert [gate["name"] for gate in story.state("G-003").detail["gates"]] == ["insurer"]


def test_a_release_of_an_earlier_theft_answers_nothing_now(story, keeper):
    story.stolen("G-003")
    recovered(story)
    written_down(story, "police")
    story.stolen("G-003")
    recovered(story)
    with pytest.raises(PlanRefused, match="Write down the release first"):
        actions.clear_gate(
            collection=story.collection, by=keeper, code="G-003", gate="police",
            answer="answered", papers=(PAPER,),
        )  # fmt: skip


def test_only_a_keeper_passes_a_gate(story, technician):
    story.stolen("G-003")
    recovered(story)
    with pytest.raises(PermissionDenied):
        passed(story, technician, "police")


def test_identity_needs_two_kinds_beside_the_serial(story, keeper):
    story.stolen("G-003")
    recovered(story)
    with pytest.raises(PlanRefused, match="two kinds"):
        passed(story, keeper, "identity", evidence=("serial", "repair with its record"))


def test_what_was_mislaid_needs_identity_and_condition_only(story, keeper):
    actions.not_found(
        collection=story.collection, by=story.by, code="A-007", looked_at=story.warehouse.code
    )
    recovered(story, "A-007", mislaid=True)
    passed(story, keeper, "identity", code="A-007", evidence=TWO_KINDS)
    assert story.state("A-007").standing == "quarantined"
    passed(story, keeper, "condition", code="A-007")
    assert story.state("A-007").standing == "held"


def test_a_place_says_nothing_private_in_the_book(story):
    facts = Event.objects.of(story.collection).filter(subject=story.home.subject)
    said = " ".join(str(event.facts) for event in facts)
    assert "private" in said
    assert "Saltings" not in said
    assert "Kirkcudbright" not in said

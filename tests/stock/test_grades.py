"""Grades of one's own: offered by every form, kept in reserve, and never mistyped into a second."""

import re

import pytest
from django.test import Client

from collection.catalogue.actions import add_circuit, add_piece
from collection.ledger.models import Event, State
from collection.stock import actions, queries
from collection.stock.fitting import socket_of
from collection.stock.models import Lot, Part
from tests.builders import client_of
from tests.stock.shelves import Desk, a_desk, a_show

pytestmark = pytest.mark.django_db

QUIET = "V1-quiet"
SOCKETS = (
    {"name": "V1", "fits": ["12AX7"], "grade": QUIET},
    {"name": "V2", "fits": ["12AX7"], "grade": "show"},
)


def _a_twelve(**tested: int) -> tuple[Desk, Client, Lot]:
    """One amplifier with a choosy first socket, and ten 12AX7 of which some are tested."""
    desk = a_desk()
    circuit = add_circuit(collection=desk.member.collection, name="BR-12", positions=SOCKETS)
    add_piece(**desk.who, code="A-003", kind="amplifier", circuit=circuit)
    kind = actions.add_type(collection=desk.member.collection, code="12AX7")
    lot = actions.add_lot(**desk.who, type=kind, brand="Ostrow")
    actions.receive(**desk.who, lot=lot, units=10)
    if tested:
        passed = {name.replace("_", "-"): n for name, n in tested.items()}
        actions.test(**desk.who, lot=lot, units=sum(passed.values()), passed=passed, failed=0)
    return desk, client_of(desk.member), lot


def _in_v1(desk: Desk, lot: Lot) -> Part:
    return actions.issue(**desk.who, lot=lot, units=1, grade=QUIET, piece="A-003", position="V1")


def _counts(lot: Lot) -> dict[str, int]:
    return dict(State.objects.get(subject=lot.subject).detail.get("counts", []))


def _values(page: str, name: str) -> list[str]:
    radios = re.findall(rf'<input type="radio" name="{name}" value="([^"]+)"', page)
    return list(dict.fromkeys(radios))


def test_a_part_can_be_pulled_for_a_grade_that_a_chart_asks_for():
    desk, client, lot = _a_twelve(V1_quiet=2)
    part = _in_v1(desk, lot)
    url = desk.url(f"part/{part.code}/pull/")
    page = client.get(url).content.decode()
    assert _values(page, "grade") == ["show", QUIET, "rehearsal", "bench"]
    assert client.post(url, {"grade": QUIET, "hours": "200"}).status_code == 302
    assert _counts(lot)[f"pulled:{QUIET}"] == 1


def test_a_grade_that_no_chart_of_its_type_asks_for_is_not_offered():
    desk, _, _ = _a_twelve()
    other = actions.add_type(collection=desk.member.collection, code="EF86")
    assert queries.grades_for(desk.member.collection, other) == ("show", "rehearsal", "bench")


def test_a_change_and_a_part_taken_out_offer_the_same_grades():
    desk, client, lot = _a_twelve(V1_quiet=2)
    part = _in_v1(desk, lot)
    page = client.get(desk.url("change/A-003/V1/")).content.decode()
    assert _values(page, "became") == ["show", QUIET, "rehearsal", "bench", "dead"]
    slug = desk.member.collection.slug
    page = client.get(f"/{slug}/sockets/part/{part.code}/out/").content.decode()
    assert f"pulled:{QUIET}" in _values(page, "goes")
    page = client.get(f"/{slug}/sockets/A-003/fit/").content.decode()
    assert f"pulled:{QUIET}" in _values(page, "old_goes")


def test_the_run_out_of_a_grade_counts_its_own_reserve_and_says_both():
    desk, client, lot = _a_twelve(V1_quiet=4, show=4)
    part = _in_v1(desk, lot)
    for days in range(1, 60, 3):
        a_show(desk, f"W-{days:03}", days_ago=days, pieces=("A-003",), ht="4")
    client.post(desk.url("type/12AX7/pull/"), {"pull": "fails", "because": "when it is noisy"})
    sent = {"new": f"{lot.code}/tested:{QUIET}/", "became": QUIET}
    assert client.post(desk.url("change/A-003/V1/"), sent).status_code == 302
    assert State.objects.get(subject=part.subject).detail["grade"] == QUIET
    page = client.get(desk.url("type/12AX7/")).content.decode()
    (row,) = re.findall(rf'<tr><th scope="row">{QUIET}</th>(.*?)</tr>', page)
    without, *_, with_it, _, _ = re.findall(r"<td[^>]*>([^<]*)</td>", row)
    assert int(with_it) == int(without) + 1
    assert len(re.findall("<td", row)) == 6  # both run-outs, each with its even chance


def test_tested_ones_are_counted_for_a_grade_of_ones_own_and_a_known_one_is_not_doubled():
    desk, client, lot = _a_twelve()
    url = desk.url(f"lot/{lot.code}/test/")
    assert f"Good for {QUIET}" in client.get(url).content.decode()
    client.post(url, {"own_0": "2", "grade": "v1 quiet", "graded": "1", "failed": "1"})
    assert _counts(lot) == {"dead": 1, "sealed": 6, f"tested:{QUIET}": 3}


def test_a_slip_of_the_thumb_on_the_tester_is_asked_before_it_is_written():
    desk, client, lot = _a_twelve()
    url = desk.url(f"lot/{lot.code}/test/")
    asked = client.post(url, {"show": "500", "failed": "1"})
    assert asked.status_code == 422
    assert "The book has 10 sealed, and this would take 501" in asked.content.decode()
    assert _counts(lot) == {"sealed": 10}
    sent = {"show": "500", "failed": "1", "sure": "show=500"}
    assert client.post(url, sent).status_code == 302
    assert _counts(lot)["unexplained"] == -491


@pytest.mark.parametrize(
    ("act", "sent"),
    [("write-off", {"bucket": "sealed", "to": "lost", "because": "gone"}),
     ("keep-out", {"bucket": "sealed"})],
)  # fmt: skip
def test_more_than_the_shelf_holds_is_asked_wherever_units_leave_it(act, sent):
    desk, client, lot = _a_twelve()
    asked = client.post(desk.url(f"lot/{lot.code}/{act}/"), sent | {"units": "11"})
    assert asked.status_code == 422
    assert "The book has 10 sealed, and this would take 11" in asked.content.decode()
    assert _counts(lot) == {"sealed": 10}


def test_what_the_book_has_none_of_can_be_counted():
    desk, client, lot = _a_twelve()
    url = desk.url(f"lot/{lot.code}/count/")
    page = client.get(url).content.decode()
    (name,) = re.findall(rf'<label for="id_(\w+)">Counted pulled, {QUIET} ', page)
    assert client.post(url, {name: "2"}).status_code == 302
    assert _counts(lot) == {f"pulled:{QUIET}": 2, "sealed": 10, "unexplained": -2}


def test_what_turned_up_may_have_a_grade_of_ones_own():
    desk, client, lot = _a_twelve()
    sent = {"units": "1", "bucket": f"pulled:{QUIET}"}
    assert client.post(desk.url(f"lot/{lot.code}/found/"), sent).status_code == 302
    assert _counts(lot)[f"pulled:{QUIET}"] == 1


def test_the_rare_quiet_tube_is_the_first_choice_only_where_it_is_wanted():
    desk, _, _ = _a_twelve(V1_quiet=2, show=2)
    shelf = queries.shelf(desk.member.collection)
    first = {name: socket_of(shelf, "A-003", name).sets[0].bucket for name in ("V1", "V2")}
    assert first == {"V1": f"tested:{QUIET}", "V2": "tested:show"}


def test_a_tube_kept_for_rehearsal_says_so_and_stands_behind_sealed_ones():
    desk, client, lot = _a_twelve(V1_quiet=2)
    part = _in_v1(desk, lot)
    actions.pull(**desk.who, part=part, hours=200, grade="rehearsal")
    shelf = queries.shelf(desk.member.collection)
    order = [one.bucket for one in socket_of(shelf, "A-003", "V1").sets]
    assert order == [f"tested:{QUIET}", "sealed", "pulled:rehearsal"]
    page = client.get(desk.url("change/A-003/V1/")).content.decode()
    assert f"{part.code}, pulled for rehearsal, 200 h HT" in page


@pytest.mark.parametrize("act", ["pull", "died"])
def test_a_part_of_no_lot_is_sent_to_where_it_can_be_taken_out(act):
    desk, client, _ = _a_twelve()
    made = actions.add_type(collection=desk.member.collection, code="motor", noun="motor")
    slug = desk.member.collection.slug
    sent = {"position": "V1", "how_far": "found", "type": made.code, "words": "as it came"}
    assert client.post(f"/{slug}/sockets/A-003/fit/", sent).status_code == 302
    part = Part.objects.of(desk.member.collection).get(type=made)
    answer = client.post(desk.url(f"part/{part.code}/{act}/"), {"grade": "show"})
    assert (answer.status_code, answer["Location"]) == (
        302,
        f"/{slug}/sockets/part/{part.code}/out/",
    )


def test_after_saving_the_page_says_what_was_written_and_what_the_book_asks():
    desk, client, lot = _a_twelve()
    url = desk.url(f"lot/{lot.code}/receive/")
    page = client.post(url, {"units": "12", "delivery_note_units": "14"}, follow=True)
    said = [str(message) for message in page.context["messages"]]
    newest = Event.objects.of(desk.member.collection).filter(kind="received").latest("sequence")
    assert said[0].startswith(f"In the book, entry {newest.sequence}: 12 received")
    assert said[1] == "The book asks: The delivery note says 14, the shelf holds 12."


@pytest.mark.parametrize("wrong", [{"alarm_years": "-2"}, {"passes_test": "70"}])
def test_a_wrong_assumption_comes_back_beside_its_field(wrong):
    desk, client, _ = _a_twelve()
    page = client.post(desk.url("type/12AX7/assumed/"), {"bulk_loss_share": "0.2", **wrong})
    assert page.status_code == 422
    (name,) = wrong
    assert page.context["form"].errors.keys() == {name}
    assert 'value="0.2"' in page.content.decode()


def test_a_number_below_nought_is_answered_in_plain_words():
    desk, client, lot = _a_twelve()
    page = client.post(desk.url(f"lot/{lot.code}/receive/"), {"units": "-12"})
    said = page.content.decode()
    assert "How many were there? A whole number, 1 at least." in said
    assert 'value="-12"' in said

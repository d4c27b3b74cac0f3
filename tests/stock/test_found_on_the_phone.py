"""Ways through the stock with a phone in one hand: what is near, what is said, where one lands."""

import re
from datetime import timedelta

import pytest
from django.test import Client
from django.utils import timezone

from collection.catalogue.actions import add_circuit, add_piece
from collection.custody.actions import add_party, add_place
from collection.stock import actions
from collection.stock.models import Lot, Part
from registry.access.roles import Role
from tests.builders import a_member, client_of
from tests.stock.shelves import Desk, a_desk, heads, output_tubes, pairs, the_worked_case

pytestmark = pytest.mark.django_db


def _stocked() -> tuple[Desk, Client, Lot]:
    desk = a_desk()
    heads(desk, "A-007")
    lot = pairs(desk, output_tubes(desk), 10, brand="Ostrow", drawer="3")
    return desk, client_of(desk.member), lot


def _links(page: str) -> list[str]:
    return re.findall(r'href="([^"]+)"', page)


# -- from the piece to the tube ----------------------------------------------------------------
def test_every_position_of_a_chart_leads_to_its_change():
    desk = a_desk()
    places = [{"name": "V1", "fits": ["12AX7"]}, {"name": "V4", "fits": ["EL34"],
              "matched_with": "output"}, {"name": "V5", "fits": ["EL34"],
              "matched_with": "output"}]  # fmt: skip
    circuit = add_circuit(collection=desk.member.collection, name="HB-1", positions=places)
    add_piece(**desk.who, code="A-007", kind="amplifier", circuit=circuit)
    page = client_of(desk.member).get(f"/{desk.member.collection.slug}/pieces/A-007/")
    links = _links(page.content.decode())
    assert "#chart" in links
    assert [desk.url(f"change/A-007/{name}/") in links for name in ("V1", "output", "V4")] == [
        True, True, False,
    ]  # fmt: skip


def test_a_position_whose_name_no_address_can_hold_does_no_harm():
    desk = a_desk()
    places = [{"name": "left/right", "fits": ["cone"]}]
    circuit = add_circuit(collection=desk.member.collection, name="CB-1", positions=places)
    add_piece(**desk.who, code="C-001", kind="cabinet", circuit=circuit)
    page = client_of(desk.member).get(f"/{desk.member.collection.slug}/pieces/C-001/")
    assert page.status_code == 200
    assert "left/right" in page.content.decode()


def test_who_only_reads_is_offered_no_change():
    desk, _, _ = _stocked()
    reader = a_member(desk.member.collection, role=Role.VIEWER)
    page = client_of(reader).get(f"/{desk.member.collection.slug}/pieces/A-007/")
    assert desk.url("change/A-007/output/") not in _links(page.content.decode())


def test_what_came_in_no_lot_is_changed_by_fitting_another():
    desk, client, _ = _stocked()
    slug = desk.member.collection.slug
    sent = {"position": "output", "how_far": "found", "type": "EL34", "words": "as it came"}
    client.post(f"/{slug}/sockets/A-007/fit/", sent)
    assert Part.objects.of(desk.member.collection).get().lot is None
    answer = client.get(desk.url("change/A-007/output/"))
    assert answer["Location"] == f"/{slug}/sockets/A-007/fit/?position=output"


def test_a_type_leads_to_its_lots_before_its_years():
    desk, client, lot = _stocked()
    page = client.get(desk.url("type/EL34/")).content.decode()
    assert page.index(desk.url(f"lot/{lot.code}/")) < page.index('id="what-if"')


def test_what_is_recorded_of_a_lot_stands_above_its_picture():
    desk, client, lot = _stocked()
    page = client.get(desk.url(f"lot/{lot.code}/")).content.decode()
    assert page.index(desk.url(f"lot/{lot.code}/count/")) < page.index('id="flow"')


# -- what is said ----------------------------------------------------------------------------
def test_a_lot_says_places_and_people_by_name():
    desk, client, lot = _stocked()
    place = add_place(**desk.who, name="tube drawers", kind="store", code="P-009")
    Lot.objects.of(desk.member.collection).filter(pk=lot.pk).update(place=place.subject)
    seller = add_party(**desk.who, name="Ferry line stores", code="N-014")
    actions.receive(**desk.who, lot=lot, units=2, from_whom=seller.code)
    page = client.get(desk.url(f"lot/{lot.code}/")).content.decode()
    assert "tube drawers" in page
    assert page.count("2 received from Ferry line stores") == 2  # the table and the life line
    assert not re.findall(r"\b(?:P-009|N-014)\b", page)


def test_a_private_place_is_not_named_to_who_may_not_know_it():
    desk, _, lot = _stocked()
    place = add_place(**desk.who, name="back of the bakery", kind="store", private=True)
    Lot.objects.of(desk.member.collection).filter(pk=lot.pk).update(place=place.subject)
    reader = a_member(desk.member.collection, role=Role.VIEWER)
    page = client_of(reader).get(desk.url(f"lot/{lot.code}/"))
    assert page.status_code == 200
    assert "bakery" not in page.content.decode()


def test_pulled_ones_that_feed_no_show_are_said_beside_the_reserve():
    desk, client, lot = _stocked()
    part = actions.issue(**desk.who, lot=lot, units=1, piece="A-007", position="output")
    actions.pull(**desk.who, part=part, hours=60, grade="rehearsal")
    page = client.get(desk.url("type/EL34/")).content.decode()
    assert (
        "0 more from the pulled reserve. 2 pulled tubes are kept for rehearsal and feed no" in page
    )


def test_what_is_bought_of_a_type_fed_in_pairs_is_counted_in_pairs():
    desk = the_worked_case()
    client = client_of(desk.member)
    assert "Buy, sets of 2" in client.get(desk.url("type/EL34/")).content.decode()
    assert "Buy, sets of 2" in client.get(desk.url("type/EL34/ways/")).content.decode()


def test_a_way_that_loses_years_says_lost_and_not_a_sign():
    desk = the_worked_case()
    page = client_of(desk.member).get(desk.url("type/EL34/ways/"), {"pull": "30"})
    said = page.content.decode()
    assert re.search(r"<b>\d+\.\d years lost, even chance against even chance\.</b>", said)
    assert page.context["given"].put.gain.years < 0


def test_a_day_to_come_is_not_drawn_as_if_it_were_known():
    desk, client, lot = _stocked()
    ahead = (timezone.now() + timedelta(days=40)).date().isoformat()
    page = client.get(desk.url(f"lot/{lot.code}/"), {"at": ahead})
    assert "This day has not come yet" in page.content.decode()
    assert "as the book stands" in page.content.decode()


# -- where one lands -------------------------------------------------------------------------
def test_tolerances_asked_for_alone_lead_to_their_place_on_the_page():
    desk, client, _ = _stocked()
    answer = client.get(desk.url("matching/tolerances/"))
    assert answer["Location"] == desk.url("matching/") + "#tolerances"
    assert 'id="tolerances"' in client.get(desk.url("matching/")).content.decode()


@pytest.mark.parametrize(
    ("page", "sent_to"),
    [("type/EL34/", "type/EL34/pull/#pull"),
     ("type/EL34/ways/?buy=2", "type/EL34/ways/keep/#keep")],
)  # fmt: skip
def test_a_form_far_down_comes_back_to_its_own_place(page, sent_to):
    desk = the_worked_case()
    said = client_of(desk.member).get(desk.url(page)).content.decode()
    place = sent_to.partition("#")[2]
    assert f'action="{desk.url(sent_to)}"' in said
    assert f'id="{place}"' in said


def test_a_plan_kept_today_is_not_so_many_years_old():
    desk = the_worked_case()
    client = client_of(desk.member)
    url = desk.url("type/EL34/ways/keep/")
    page = client.post(url, {"buy": "8", "name": "eight more"}, follow=True).content.decode()
    assert "<small>kept today</small>" in page
    assert "0.0 years later" not in page

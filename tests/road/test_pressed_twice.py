"""A double tap on a form that makes a row and no entry makes one, and shows it."""

import re
from datetime import date

import pytest

from collection.custody.models import Party, Place
from collection.road.models import Show, Tour
from tests.builders import a_collection, a_member, client_of
from tests.road.builders import TODAY, a_road

pytestmark = pytest.mark.django_db


@pytest.fixture
def road(technician):
    return a_road(technician)


TYPED = {
    "places/add/": {"name": "Bay 9", "kind": "room"},
    "places/people/add/": {"name": "Tamsin Yorke"},
    "road/tours/add/": {"name": "Spring", "starts_on": "2027-03-01", "ends_on": "2027-04-01"},
    "road/tours/T-001/add-show/": {"number": "15", "on": "2024-11-26"},
}
MADE = {
    "places/add/": Place.objects.filter(name="Bay 9"),
    "places/people/add/": Party.objects.filter(name="Tamsin Yorke"),
    "road/tours/add/": Tour.objects.filter(name="Spring"),
    "road/tours/T-001/add-show/": Show.objects.filter(number=15),
}


def once_on(client, address):
    return re.search(r'name="once" value="(\w{32})"', client.get(address).content.decode())[1]


def typed_on(road, path):
    venue = {"venue": road.venue.code} if "add-show" in path else {}
    return TYPED[path] | venue


@pytest.mark.parametrize("path", TYPED)
def test_sent_twice_it_makes_one_and_leads_to_it_both_times(road, path):
    client, address = client_of(road.by), f"/{road.collection.slug}/{path}"
    typed = typed_on(road, path) | {"once": once_on(client, address)}
    first, second = client.post(address, typed), client.post(address, typed)
    assert (first.status_code, second.status_code) == (302, 302)
    assert first["Location"] == second["Location"]
    assert MADE[path].all().count() == 1


@pytest.mark.parametrize("path", [path for path in TYPED if "show" not in path])
def test_the_form_opened_anew_makes_another(road, path):
    client, address = client_of(road.by), f"/{road.collection.slug}/{path}"
    for _ in range(2):
        client.post(address, typed_on(road, path) | {"once": once_on(client, address)})
    assert MADE[path].all().count() == 2


def test_a_number_that_another_show_has_is_still_refused(road):
    address = f"/{road.collection.slug}/road/tours/T-001/add-show/"
    typed = {"number": "14", "on": "2024-11-26", "venue": road.venue.code, "once": "new"}
    page = client_of(road.by).post(address, typed)
    assert "The tour has a show 14 already." in page.content.decode()
    assert Show.objects.get().on == TODAY == date(2024, 11, 24)


def test_a_press_of_another_collection_is_another_press(road):
    other = a_member(a_collection())
    for member in (road.by, other):
        address = f"/{member.collection.slug}/places/people/add/"
        client_of(member).post(address, {"name": "Tamsin Yorke", "once": "press"})
    assert Party.objects.filter(name="Tamsin Yorke").count() == 2


def test_changing_what_is_there_takes_the_press_and_keeps_no_word_of_it(road):
    client, slug = client_of(road.by), road.collection.slug
    client.post(f"/{slug}/places/people/add/", {"name": "Tamsin Yorke", "once": "press"})
    party = Party.objects.get()
    edit = f"/{slug}/places/people/{party.code}/edit/"
    answer = client.post(edit, {"name": "Tamsin Y.", "once": once_on(client, edit)})
    assert answer.status_code == 302
    party.refresh_from_db()
    assert party.name == "Tamsin Y."

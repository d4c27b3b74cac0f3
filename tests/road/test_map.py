"""The map of everything, with tours above it: what is where, how fresh, and who may see it."""

import gzip
import html
import re
from datetime import timedelta

import pytest

from collection.custody import actions as custody
from collection.custody.freight.actions import Way, ship
from collection.custody.map import queries
from collection.custody.models import Town
from collection.ledger.telling import Telling
from collection.road.actions import add_show
from registry import clock
from tests.builders import client_of
from tests.road.builders import BERGEN, CARLISLE, VOSS, a_place, a_road, an_amplifier

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def _no_land_of_another_test():
    queries._land.cache_clear()


@pytest.fixture
def road(technician):
    """Two amplifiers in a truck whose tour plays Bergen today, one at home in Carlisle."""
    today = clock.today(technician.collection.zone_info)
    made = a_road(technician, on=today)
    voss = a_place(technician, "Kulturhus", "venue", **VOSS)
    add_show(
        collection=made.collection, by=technician, tour=made.tour, venue=voss,
        on=today + timedelta(days=2), number=15,
    )  # fmt: skip
    bay = a_place(technician, "Bay 1", "room", **CARLISLE)
    an_amplifier(technician, "A-001", at=bay)
    return made


@pytest.fixture
def client(road):
    return client_of(road.by)


def text_of(client, road, query=""):
    answer = client.get(f"/{road.collection.slug}/places/map/{query}")
    assert answer.status_code == 200
    return html.unescape(answer.content.decode())


def table(page):
    rows = re.findall(r'<tr><th scope="row">(.*?)</tr>', page.split("In words")[1], re.S)
    return {re.split(r"[<,]", row)[0]: re.sub(r"<[^>]+>", " ", row) for row in rows}


def test_what_is_in_the_truck_is_in_the_town_of_todays_show(road, client):
    found = table(text_of(client, road))
    assert set(found) == {"Bergen", "Carlisle"}
    assert "show 14" in found["Bergen"]
    assert "Truck A 2" in found["Bergen"]
    assert "Bay 1 1" in found["Carlisle"]


def test_the_marks_carry_the_counts_of_the_table(road, client):
    page = text_of(client, road, "?zoom=all")
    counts = re.findall(r'<text class="mid"[^>]*>(\d+)</text>', page)
    assert sorted(counts) == ["1", "2"]
    assert re.findall(r'<text class="town[^>]*>([^<]+)</text>', page) == ["Bergen", "Carlisle"]


def test_a_mark_fades_with_the_age_of_the_last_sighting_and_the_table_says_so(road, client):
    long_ago = table(text_of(client, road))
    assert "Wed 1 Mar 2023" in long_ago["Carlisle"]
    custody.sight(collection=road.collection, by=road.by, code="A-001")
    page = text_of(client, road, "?zoom=all")
    assert "2023" not in table(page)["Carlisle"]
    assert page.count('class="heap fade-0"') == 1
    assert page.count('class="heap fade-3"') == 1


def test_the_tour_shows_its_way_and_leaves_home_beyond_the_edge(road, client):
    page = text_of(client, road)
    assert page.split('class="stops"')[1].split("</g>")[0].count("<circle") == 2
    assert 'class="way to-come"' in page
    assert 'class="way"' not in page  # nothing played before today
    assert "beyond the edge of the map" in table(page)["Carlisle"]
    assert "beyond the edge" not in text_of(client, road, "?zoom=all")


def test_a_private_place_is_left_out_for_a_viewer_and_there_for_a_technician(
    road, client, viewer_client
):
    home = a_place(road.by, "Saltings", "house", private=True, town="Kirkcudbright",
                   country="GB", latitude=54.84, longitude=-4.05)  # fmt: skip
    custody.move(collection=road.collection, by=road.by, code="A-001", to=home.code)
    assert "Kirkcudbright" in table(text_of(client, road))
    seen = text_of(viewer_client, road, "?zoom=all")
    assert "Kirkcudbright" not in seen
    assert "Saltings" not in seen
    assert "What stands in private places is left out." in seen
    assert set(table(seen)) == {"Bergen"}


def test_a_stolen_piece_is_on_no_map(road, client):
    custody.report_theft(collection=road.collection, by=road.by, pieces=["A-001"])
    assert "Carlisle" not in table(text_of(client, road))


def test_a_place_without_a_town_is_counted_in_words(road, client):
    shed = a_place(road.by, "Shed")
    custody.move(collection=road.collection, by=road.by, code="A-001", to=shed.code)
    assert "1 piece in a place without a town." in text_of(client, road)


def test_what_is_on_the_way_is_in_no_town(road, client):
    way = Way(to=road.venue, expected_at=clock.now() + timedelta(days=1), carrier_words="van")
    ship(collection=road.collection, by=road.by, things=["A-001"], way=way)
    page = text_of(client, road)
    assert "Carlisle" not in table(page)
    assert "1 piece on the way" in page


def test_nothing_in_the_register_says_so(collection, technician):
    page = client_of(technician).get(f"/{collection.slug}/places/map/").content.decode()
    assert "Nothing has a town yet" in page


def test_towns_draw_the_land_and_the_page_stays_small(road, client):
    towns = [
        Town(pk=n * 400 + m + 1, name=f"T{n}-{m}", search="t", country="NO", zone="Europe/Oslo",
             latitude=54 + n / 20, longitude=-5 + m / 25, population=n * m)
        for n in range(160) for m in range(300)
    ]  # fmt: skip
    assert "no land is drawn" in text_of(client, road, "?zoom=all")
    Town.objects.bulk_create(towns, batch_size=5000)
    page = text_of(client, road, "?zoom=all")
    assert "no land is drawn" not in page
    dots = page.count("h0M") + 1
    assert 2_000 < dots <= queries.DOTS
    assert len(gzip.compress(page.encode())) < 300_000


def test_the_land_is_read_once(road, client, django_assert_num_queries):
    Town.objects.create(
        name="Odda", search="odda", country="NO", latitude=60.07, longitude=6.55,
        zone="Europe/Oslo", population=7000,
    )  # fmt: skip
    text_of(client, road)
    with django_assert_num_queries(10):
        text_of(client, road)
    for n in range(4):
        bay = a_place(road.by, f"Bay {n}", "room", **BERGEN)
        an_amplifier(road.by, f"A-10{n}", at=bay)
        told = Telling(happened="2024-01-01")
        custody.sight(collection=road.collection, by=road.by, code=f"A-10{n}", telling=told)
    with django_assert_num_queries(10):
        assert "Bay 3 1" in text_of(client, road)

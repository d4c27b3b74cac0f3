"""The packing list: what goes, what it weighs, what takes two, and the order in the truck.

The limit for one person: 23 kg, the load constant of the revised NIOSH lifting equation (Waters
and others, Ergonomics 36, 1993).
"""

import csv
import io

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from collection.custody.cases.actions import set_packing_list
from collection.desk.packing.queries import packing
from collection.road.doors import actions as doors
from tests.road.builders import NOW, a_place, a_road, an_amplifier

pytestmark = pytest.mark.django_db


@pytest.fixture
def road(technician):
    return a_road(technician)


def cased(road, code: str, pieces: list[str], *, tare: int = 10_000):
    """A case in the truck with its packing list."""
    case = a_place(road.by, f"Case {code[-2:]}", "case", code=code, inside=road.truck)
    road.tour.places.add(case)
    set_packing_list(case=case, by=road.by, pieces=pieces, kit=[(2, "lead")], tare_grams=tare,
                     size="60 × 40 × 50 cm")  # fmt: skip
    return case


def weighs(piece, grams: int) -> None:
    piece.mass_grams = grams
    piece.save()


def test_a_case_weighs_itself_and_what_belongs_in_it(road):
    weighs(road.position.piece, 12_500)
    cased(road, "CASE-06", ["A-003"])
    rows = {one.code: one for one in packing(road.tour, road.by).rows}
    assert rows["CASE-06"].kg == "22.5"
    assert rows["CASE-06"].two_people is False
    assert rows["CASE-06"].holds == ["A-003 Twelve", "2 lead"]
    assert rows["CASE-06"].size == "60 × 40 × 50 cm"


@pytest.mark.parametrize(("grams", "two"), [(12_999, False), (13_000, True)])
def test_from_23_kg_on_two_people_lift(road, grams, two):
    weighs(road.position.piece, grams)
    cased(road, "CASE-06", ["A-003"])
    rows = {one.code: one for one in packing(road.tour, road.by).rows}
    assert rows["CASE-06"].two_people is two


def test_what_goes_in_no_case_is_on_the_list_by_itself(road):
    cased(road, "CASE-06", ["A-003"])
    seen = packing(road.tour, road.by)
    assert [one.code for one in seen.rows] == ["CASE-06", "A-018"]
    assert "A-018" in seen.unweighed  # nobody weighed it: the sum is 'at least'
    assert seen.kg == "10.0"


def test_one_truck_is_listed_in_the_order_it_was_loaded(road):
    for number in ("06", "07", "08"):
        cased(road, f"CASE-{number}", [])
    by = road.by
    count = doors.start(show=road.show, by=by, truck=road.truck, now=NOW)
    for code in ("CASE-08", "CASE-06"):
        doors.tap(count=count, code=code, by=by, now=NOW)
    seen = packing(road.tour, by, truck=road.truck.code)
    found = [(one.code, one.order) for one in seen.rows if one.case]
    assert found == [("CASE-08", 1), ("CASE-06", 2), ("CASE-07", None)]
    assert seen.loaded_at == road.show


def test_a_truck_that_nobody_counted_lists_what_stands_in_it(road):
    cased(road, "CASE-06", ["A-003"])
    seen = packing(road.tour, road.by, truck=road.truck.code)
    assert [one.code for one in seen.rows] == ["A-018", "CASE-06"]
    assert seen.loaded_at is None


def test_the_page_and_the_file_say_the_same(road, technician_client):
    weighs(road.position.piece, 14_000)
    cased(road, "CASE-06", ["A-003"])
    base = f"/{road.collection.slug}"
    page = technician_client.get(f"{base}/packing/{road.tour.code}/").content.decode()
    assert "two people" in page
    assert "24.0" in page
    answer = technician_client.get(f"{base}/lists/packing/?tour={road.tour.code}")
    text = b"".join(answer.streaming_content).decode("utf-8-sig")
    rows = {row["code"]: row for row in csv.DictReader(io.StringIO(text, newline=""))}
    assert rows["CASE-06"]["two people"] == "yes"
    assert float(rows["CASE-06"]["kg packed"]) == 24.0


def test_more_cases_ask_no_more_queries(road, technician_client):
    address = f"/{road.collection.slug}/packing/{road.tour.code}/"
    cased(road, "CASE-06", ["A-003"])
    technician_client.get(address)
    with CaptureQueriesContext(connection) as few:
        technician_client.get(address)
    for number in range(10, 14):
        an_amplifier(road.by, f"A-1{number}", at=road.truck)
        cased(road, f"CASE-{number}", [f"A-1{number}"])
    with CaptureQueriesContext(connection) as many:
        technician_client.get(address)
    assert len(many) == len(few)

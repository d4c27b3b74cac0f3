"""The demo's carnets, stamps and the Linnet agree with the scenario."""

from datetime import date

from collection.core.permit_cautions import cautions
from collection.custody.whereabouts import whereabouts
from collection.papers.borders import queries as borders
from collection.papers.permits.queries import trip_of
from collection.road.models import Travelling


def page_of(demo, code="T-012"):
    today = date(2026, 11, 24)
    return borders.borders(demo.tours[code], whereabouts(demo.members["ines"]), today=today)


def test_the_carnet_lists_what_travels_in_truck_and_case_order(demo):
    page = page_of(demo)
    ticked = Travelling.objects.filter(tour=demo.tours["T-012"], on_carnet=True)
    assert set(page.goods.codes) == set(ticked.values_list("piece__code", flat=True))
    assert (len(page.goods.codes), page.goods.totals.items) == (24, 26)
    packed = [line.packed_in for line in page.goods.lines if line.row.codes]
    assert len(set(packed)) == sum(a != b for a, b in zip(packed, ["", *packed], strict=False))
    assert page.goods.incomplete == {"X-004": ("value", "origin")}


def test_one_counterfoil_was_not_stamped_leaving_norway(demo):
    (one,) = borders.unstamped(demo.collection)
    assert (one.carnet.tour.code, one.country, one.direction) == ("T-009", "NO", "re-export")
    assert one.on == date(2025, 10, 13)


def test_tonight_the_next_border_is_norway_to_denmark(demo):
    alarm = borders.alarm(demo.tours["T-012"], today=date(2026, 11, 24))
    assert (alarm.border.leaves, alarm.border.enters) == ("NO", "DK")
    assert [one.out_by for one in alarm.out_soon] == [date(2026, 12, 4)]


def test_the_linnet_has_a_certificate_that_ends_soon_and_a_bridge_nobody_knows(demo):
    found = [(one.number, one.piece) for one in cautions(trip_of(page_of(demo)))]
    assert found[:3] == [(2, "G-011"), (4, "G-011"), (6, "G-011")]
    assert (8, "A-021") in found

"""Shops along the road, by geodesic distance."""

import pytest

from collection.core.along import Point, nearest
from collection.core.distance import Site


def site(name, latitude, longitude):
    return Site(name=name, latitude=latitude, longitude=longitude, country="DE", time_zone="UTC")


HAMBURG = site("Hamburg", 53.5507, 9.9930)
BREMEN = site("Bremen", 53.0758, 8.8072)
MUNICH = site("Munich", 48.1374, 11.5755)
ALTONA = site("Altona", 53.5500, 9.9350)


def test_the_nearest_comes_first_and_says_from_where():
    shops = {"B": BREMEN, "A": ALTONA}
    found = nearest(shops, [Point("the place", HAMBURG)])
    assert [one.code for one in found] == ["A", "B"]
    # 95 km as the crow flies between Hamburg and Bremen: atlas figure, from memory.
    assert found[1].km == pytest.approx(95, abs=2)
    assert found[1].point == "the place"


def test_a_show_to_come_brings_shops_near_it():
    far = {"M": MUNICH}
    assert nearest(far, [Point("the place", HAMBURG)]) == ()
    found = nearest(far, [Point("the place", HAMBURG), Point("show 9", site("x", 48.2, 11.6))])
    assert [(one.code, one.point) for one in found] == [("M", "show 9")]


def test_nothing_is_near_where_nobody_knows_the_place():
    assert nearest({"A": ALTONA}, []) == ()
    assert nearest({}, [Point("the place", HAMBURG)]) == ()

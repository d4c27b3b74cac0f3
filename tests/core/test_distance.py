"""Distances on the ellipsoid, against published figures and a second formula."""

from math import atan, atan2, cos, hypot, radians, sin, tan

import pytest
from geographiclib.test.test_geodesic import GeodesicTest
from hypothesis import assume, given
from hypothesis import strategies as st

from collection.core.distance import Site, kilometres


def site(latitude: float, longitude: float, **changes: str) -> Site:
    facts = {"name": "a place", "country": "NO", "time_zone": "Europe/Oslo"} | changes
    return Site(latitude=latitude, longitude=longitude, **facts)


def degrees(whole: int, minutes: int, seconds: float) -> float:
    sign = -1 if whole < 0 else 1
    return whole + sign * (minutes / 60 + seconds / 3600)


def vincenty(a: Site, b: Site) -> float:
    """Metres by T. Vincenty (1975), Survey Review 23 (176), 88-93, inverse formula.

    Written here on its own as a second opinion; it fails near antipodes, so tests stay away.
    """
    major, flattening = 6378137.0, 1 / 298.257223563
    minor = major * (1 - flattening)
    reduced_a = atan((1 - flattening) * tan(radians(a.latitude)))
    reduced_b = atan((1 - flattening) * tan(radians(b.latitude)))
    apart = lam = radians(b.longitude - a.longitude)
    for _ in range(200):
        sin_sigma = hypot(
            cos(reduced_b) * sin(lam),
            cos(reduced_a) * sin(reduced_b) - sin(reduced_a) * cos(reduced_b) * cos(lam),
        )
        if sin_sigma == 0:
            return 0.0
        cos_sigma = sin(reduced_a) * sin(reduced_b) + cos(reduced_a) * cos(reduced_b) * cos(lam)
        sigma = atan2(sin_sigma, cos_sigma)
        sin_alpha = cos(reduced_a) * cos(reduced_b) * sin(lam) / sin_sigma
        cos2_alpha = 1 - sin_alpha**2
        middle = 0.0
        if cos2_alpha:
            middle = cos_sigma - 2 * sin(reduced_a) * sin(reduced_b) / cos2_alpha
        c = flattening / 16 * cos2_alpha * (4 + flattening * (4 - 3 * cos2_alpha))
        before = lam
        inner = middle + c * cos_sigma * (2 * middle**2 - 1)
        lam = apart + (1 - c) * flattening * sin_alpha * (sigma + c * sin_sigma * inner)
        if abs(lam - before) < 1e-13:
            break
    u2 = cos2_alpha * (major**2 - minor**2) / minor**2
    big_a = 1 + u2 / 16384 * (4096 + u2 * (-768 + u2 * (320 - 175 * u2)))
    big_b = u2 / 1024 * (256 + u2 * (-128 + u2 * (74 - 47 * u2)))
    third = big_b / 6 * middle * (4 * sin_sigma**2 - 3) * (4 * middle**2 - 3)
    delta = big_b * sin_sigma * (middle + big_b / 4 * (cos_sigma * (2 * middle**2 - 1) - third))
    return minor * big_a * (sigma - delta)


def test_wellington_to_salamanca_is_what_the_library_publishes() -> None:
    """19959679.267 m: worked example in the README of the geographiclib packages (C. Karney)."""
    found = kilometres(site(-41.32, 174.81), site(40.96, -5.50))
    assert found == pytest.approx(19959.679267, abs=1e-6)


def test_new_york_to_london_is_what_the_library_publishes() -> None:
    """JFK 40.6 N 73.8 W to LHR 51.6 N 0.5 W: the example of GeographicLib's Geodesic class;
    its result, 5551.7594 km, from memory."""
    assert kilometres(site(40.6, -73.8), site(51.6, -0.5)) == pytest.approx(5551.7594, abs=1e-4)


@pytest.mark.parametrize("line", GeodesicTest.testcases, ids=lambda line: f"{line[6]:.0f} m")
def test_lines_of_the_library_s_own_test_table(line: list[float]) -> None:
    """The table that geographiclib ships in `geographiclib.test.test_geodesic`: latitude,
    longitude, azimuth at either end, metres, and what follows; lines of GeodTest
    (C. Karney 2010, Test set for geodesics, doi:10.5281/zenodo.32156)."""
    ends = [site(line[at], (line[at + 1] + 180) % 360 - 180) for at in (0, 3)]
    assert kilometres(*ends) * 1000 == pytest.approx(line[6], abs=1e-6)


def test_the_test_table_is_there_and_goes_far() -> None:
    """Twenty lines as shipped, from some 4,000 km to nearly the other side of the globe."""
    metres = [line[6] for line in GeodesicTest.testcases]
    assert len(metres) >= 20
    assert min(metres) < 5e6 < 17e6 < max(metres)


def test_flinders_peak_to_buninyong_is_what_the_surveyors_publish() -> None:
    """54972.271 m on GRS 80: worked example of Vincenty's formulae in the GDA technical
    manual of Geoscience Australia. GRS 80 and WGS 84 differ by 0.1 mm in the minor axis."""
    flinders = site(degrees(-37, 57, 3.72030), degrees(144, 25, 29.52440))
    buninyong = site(degrees(-37, 39, 10.15610), degrees(143, 55, 35.38390))
    assert kilometres(flinders, buninyong) == pytest.approx(54.972271, abs=2e-6)


coordinates = st.tuples(st.floats(-89, 89), st.floats(-180, 180))


@given(coordinates, coordinates)
def test_an_independent_formula_agrees_to_a_millimetre(
    start: tuple[float, float], end: tuple[float, float]
) -> None:
    a, b = site(*start), site(*end)
    assume(kilometres(a, b) < 15_000)  # the second formula does not converge near antipodes
    assert kilometres(a, b) * 1000 == pytest.approx(vincenty(a, b), abs=1e-3)


@given(coordinates, coordinates, coordinates)
def test_distance_is_symmetric_and_no_detour_is_shorter(
    one: tuple[float, float], two: tuple[float, float], three: tuple[float, float]
) -> None:
    a, b, c = site(*one), site(*two), site(*three)
    assert kilometres(a, b) == pytest.approx(kilometres(b, a), abs=1e-6)
    assert kilometres(a, c) <= kilometres(a, b) + kilometres(b, c) + 1e-6
    assert kilometres(a, a) == 0


@pytest.mark.parametrize(
    ("latitude", "longitude", "changes", "word"),
    [
        (91, 0, {}, "latitude"),
        (float("nan"), 0, {}, "latitude"),
        (0, 181, {}, "longitude"),
        (0, 0, {"country": "Norway"}, "country code"),
        (0, 0, {"country": "no"}, "country code"),
        (0, 0, {"time_zone": "Europe/Nowhere"}, "time zone"),
        (0, 0, {"time_zone": ""}, "time zone"),
    ],
)
def test_a_place_that_cannot_be_is_refused(
    latitude: float, longitude: float, changes: dict[str, str], word: str
) -> None:
    with pytest.raises(ValueError, match=word):
        site(latitude, longitude, **changes)

"""The projection of the map, its dots, marks and labels."""

import re
from datetime import UTC, datetime, timedelta
from math import isclose, log, radians, tan

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from collection.core.drawing import chart

LATITUDES = st.floats(-84, 84)
LONGITUDES = st.floats(-179, 179)
BERGEN, CARLISLE, UTRECHT = (60.393, 5.324), (54.895, -2.938), (52.091, 5.122)


def test_the_projection_gives_the_published_worked_example():
    """φ = 35° N, λ = 75° W, central meridian 180° W, R = 1: x = 1.8325957, y = 0.6528366.

    Source: Snyder (1987), USGS Professional Paper 1395, numerical examples, Mercator (sphere).
    """
    x, y = chart.mercator(35, -75 + 180)
    assert (round(x, 7), round(y, 7)) == (1.8325957, 0.6528366)


def test_the_published_inverse_gives_the_latitude_back():
    """x = 1.8325957, y = 0.6528366 come back as 35°. Source: Snyder (1987), as above."""
    assert isclose(chart.latitude_of(0.6528366), 35, abs_tol=1e-5)


def test_the_equator_is_nought_and_the_scale_at_sixty_degrees_is_two():
    """Scale factor sec φ. Source: Snyder (1987), equation 7-3."""
    assert chart.mercator(0, 0) == pytest.approx((0, 0), abs=1e-12)
    step = 1e-5
    north = chart.mercator(60 + step, 0)[1] - chart.mercator(60, 0)[1]
    assert isclose(north / radians(step), 2, rel_tol=1e-5)


def test_poles_are_held_where_the_height_is_still_a_number():
    assert chart.mercator(90, 0) == chart.mercator(85, 0)
    assert isclose(chart.mercator(90, 0)[1], log(tan(radians(87.5))))


@settings(max_examples=60)
@given(LATITUDES)
def test_there_and_back_is_the_same_latitude(latitude):
    assert isclose(chart.latitude_of(chart.mercator(latitude, 0)[1]), latitude, abs_tol=1e-9)


@settings(max_examples=60)
@given(st.lists(st.tuples(LATITUDES, LONGITUDES), min_size=1, max_size=12))
def test_a_window_shows_every_point_with_a_margin(points):
    seen = chart.window(points)
    for point in points:
        x, y = seen.at(*point)
        assert 8.9 <= x <= 91.1
        assert 8.9 <= y <= 91.1


def test_north_is_up_and_east_is_right():
    seen = chart.window([BERGEN, CARLISLE])
    (bx, by), (cx, cy) = seen.at(*BERGEN), seen.at(*CARLISLE)
    assert bx > cx
    assert by < cy


def test_one_town_alone_still_gets_a_window_of_some_width():
    west, south, east, north = chart.window([BERGEN]).degrees()
    assert isclose(east - west, chart.LEAST, rel_tol=1e-9)
    assert south < BERGEN[0] < north


def test_nothing_to_show_is_refused():
    with pytest.raises(ValueError, match="something to show"):
        chart.window([])


def test_of_towns_in_one_cell_the_first_is_drawn_and_those_outside_are_not():
    seen = chart.window([BERGEN, CARLISLE])
    near = (BERGEN[0] + 0.0001, BERGEN[1])
    path = chart.dots(seen, [BERGEN, near, (-33.9, 18.4), CARLISLE], most=10)
    assert len(re.findall(r"M\d+ \d+h0", path)) == 2


def test_no_more_dots_than_asked():
    seen = chart.window([(50, 0), (60, 10)])
    towns = [(50 + n / 20, m / 20) for n in range(200) for m in range(200)]
    assert chart.dots(seen, towns, most=300).count("h0") == 300


def test_a_way_needs_two_stops():
    seen = chart.window([BERGEN, CARLISLE])
    assert chart.route(seen, [BERGEN]) == ""
    assert chart.route(seen, [BERGEN, CARLISLE, BERGEN]).count("L") == 2


def a_heap(point, name, count=1, fade=0):
    return chart.Heap(*point, name, count, fade)


def test_close_heaps_are_one_mark_that_counts_both_and_fades_with_the_freshest():
    near = (CARLISLE[0] - 0.05, CARLISLE[1] - 0.1)
    heaps = [
        a_heap(near, "Dalston", 2, 3),
        a_heap(BERGEN, "Bergen", 5),
        a_heap(CARLISLE, "Carlisle", 9, 1),
    ]
    seen = chart.window([BERGEN, CARLISLE])
    carlisle, bergen = chart.marks(seen, heaps)
    assert (carlisle.count, carlisle.fade, carlisle.label) == (11, 1, "Carlisle +1")
    assert carlisle.heaps == (0, 2)
    assert (bergen.count, bergen.label) == (5, "Bergen")
    assert carlisle.radius > bergen.radius


def test_what_is_beyond_the_edge_has_no_mark():
    seen = chart.window([CARLISLE, UTRECHT])
    assert chart.marks(seen, [a_heap((-33.9, 18.4), "Cape Town")]) == ()


@settings(max_examples=60)
@given(st.lists(st.tuples(st.floats(50, 62), st.floats(-5, 12)), min_size=1, max_size=25))
def test_no_label_runs_into_another_or_off_the_map(points):
    seen = chart.window([(50, -5), (62, 12)])
    heaps = [a_heap(point, f"Townsend {n}", n + 1) for n, point in enumerate(points)]
    boxes = []
    for mark in chart.marks(seen, heaps):
        if not mark.label:
            continue
        wide = len(mark.label) * chart.LETTER
        left = {"": 0, "mid": wide / 2, "end": wide}[mark.anchor]
        x = mark.label_x + mark.label_dx * 100 / chart.PHONE - left
        y = mark.label_y - chart.LINE / 2
        boxes.append((x, y, x + wide, y + chart.LINE))
    slack = 0.02  # places are rounded to two decimals
    for n, a in enumerate(boxes):
        assert min(a) >= -slack
        assert max(a) <= 100 + slack
        for b in boxes[:n]:
            apart = a[0] + slack >= b[2] or b[0] + slack >= a[2]
            assert apart or a[1] + slack >= b[3] or b[1] + slack >= a[3]


@pytest.mark.parametrize(
    ("days", "step", "words"),
    [(0, 0, "in two days"), (2, 0, "in two days"), (2.1, 1, "in two weeks"),
     (60, 2, "in three months"), (93, 3, "longer ago")],
)  # fmt: skip
def test_a_sighting_fades_with_the_days(days, step, words):
    """House rule."""
    now = datetime(2026, 11, 24, 15, tzinfo=UTC)
    assert chart.fade(now - timedelta(days=days), now) == step
    assert chart.fade_words(step) == words


def test_what_was_never_seen_says_never():
    now = datetime(2026, 11, 24, tzinfo=UTC)
    assert chart.fade_words(chart.fade(None, now)) == "never"

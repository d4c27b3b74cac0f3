"""The tally at the truck door and the end of its link."""

from datetime import datetime
from zoneinfo import ZoneInfo

import pytest

from collection.core.load_out import WALK, link_ends, tally

OSLO = ZoneInfo("Europe/Oslo")
TILES = [(f"CASE-{n:02}", f"case {n}") for n in range(1, 23)]


def test_twenty_one_of_twenty_two_names_the_one_that_is_missing():
    seen = frozenset(code for code, _ in TILES) - {"CASE-14"}
    found = tally(TILES, seen)
    assert found.sentence() == "21 of 22, not found: case 14"
    assert not found.complete


def test_all_of_it_needs_no_more_words():
    assert tally(TILES, frozenset(dict(TILES))).sentence() == "22 of 22"


def test_nothing_to_count_is_complete():
    assert tally([], frozenset()).complete


@pytest.mark.parametrize(
    ("made", "ends"),
    [
        ("2026-11-22T23:30", "2026-11-23T09:00"),  # at the load-out
        ("2026-11-23T01:40", "2026-11-23T09:00"),  # after midnight: the same night
        ("2026-11-22T15:00", "2026-11-23T09:00"),  # in the afternoon before
        ("2026-11-23T06:00", "2026-11-23T09:00"),  # three hours to go, still
        ("2026-11-23T06:01", "2026-11-24T09:00"),  # less than three: the morning after
    ],
)
def test_a_link_ends_at_nine_the_next_morning_where_the_show_is(made, ends):
    """House rule; worked by hand."""
    at = datetime.fromisoformat(made).replace(tzinfo=OSLO)
    assert link_ends(at, OSLO) == datetime.fromisoformat(ends).replace(tzinfo=OSLO)


def test_the_morning_is_the_venues_and_not_the_servers():
    at = datetime(2026, 11, 22, 22, 30, tzinfo=ZoneInfo("UTC"))
    assert link_ends(at, OSLO).isoformat() == "2026-11-23T09:00:00+01:00"


def test_a_moment_without_a_zone_is_refused():
    with pytest.raises(ValueError, match="needs a zone"):
        link_ends(datetime(2026, 11, 22), OSLO)


def test_the_walk_names_each_place_once_in_a_line_that_fits():
    assert len(set(WALK)) == len(WALK)
    assert all(0 < len(spot) <= 80 for spot in WALK)

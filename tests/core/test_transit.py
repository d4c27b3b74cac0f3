"""Journeys: their legs, local times, the law of driving and what was quoted."""

from datetime import UTC, datetime, timedelta
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from collection.core.distance import Site, kilometres
from collection.core.driving import EUROPE, UNITED_STATES, DrivingHours, drive
from collection.core.moment import spoken, utc
from collection.core.territory import customs_territory, landmass
from collection.core.transit import LEGS, Leg, Quote, Rules, plan
from tests.core.backup_builders import BERGEN, CARLISLE, NOW, ODENSE, UTRECHT, VOSS

HOUR = timedelta(hours=1)


def whats(legs: tuple[Leg, ...]) -> list[str]:
    return [leg.what for leg in legs]


def the(what: str, legs: tuple[Leg, ...]) -> Leg:
    return next(leg for leg in legs if leg.what == what)


def quote(what: str, leaves: datetime, hours: float, basis: str = "quoted") -> Quote:
    return Quote(
        what=what, leaves_at=leaves, arrives_at=leaves + timedelta(hours=hours), basis=basis
    )


@pytest.mark.parametrize(
    ("at_the_wheel", "from_start_to_end"),
    [
        (0, 0),
        (4.5, 4.5),  # Article 7: a break only after four and a half hours
        (4.6, 4.6 + 0.75),
        (9, 9 + 0.75),  # Article 6: nine hours a day
        (9.1, 9 + 0.75 + 11 + 0.1),  # Article 8: eleven hours of rest
        (14, 9 + 0.75 + 11 + 5 + 0.75),
        (18, 2 * (9 + 0.75) + 11),
        (19, 2 * (9 + 0.75) + 2 * 11 + 1),
    ],
)
def test_a_drive_keeps_regulation_561_of_2006(
    at_the_wheel: float, from_start_to_end: float
) -> None:
    """Regulation (EC) No 561/2006, Articles 6(1), 7 and 8(2), worked by hand."""
    expected = timedelta(hours=from_start_to_end)
    assert abs(drive(at_the_wheel, EUROPE).length - expected) < timedelta(seconds=1)


@pytest.mark.parametrize(
    ("at_the_wheel", "from_start_to_end"), [(8, 8), (9, 9.5), (11, 11.5), (12, 11.5 + 10 + 1)]
)
def test_a_drive_in_the_united_states_keeps_its_own_law(
    at_the_wheel: float, from_start_to_end: float
) -> None:
    """49 CFR 395.3(a): 11 h after 10 h off duty, 30 min after 8 h; worked by hand."""
    assert drive(at_the_wheel, UNITED_STATES).length == timedelta(hours=from_start_to_end)


def by_the_minute(minutes: int, law: DrivingHours) -> int:
    """Minutes from start to end, walked one by one: a second opinion on `drive`."""
    since_break = today = elapsed = 0
    for _ in range(minutes):
        if today == round(law.drive_per_day * 60):
            elapsed += round(law.daily_rest * 60)
            since_break = today = 0
        elif since_break == round(law.drive_before_break * 60):
            elapsed += round(law.break_length * 60)
            since_break = 0
        elapsed += 1
        since_break += 1
        today += 1
    return elapsed


@given(st.integers(0, 3000), st.sampled_from([EUROPE, UNITED_STATES]))
def test_a_drive_is_what_walking_it_minute_by_minute_gives(minutes: int, law: DrivingHours) -> None:
    assert drive(minutes / 60, law).length == timedelta(minutes=by_the_minute(minutes, law))


def test_a_road_leg_says_how_its_length_was_reached() -> None:
    leg = the("road", plan(VOSS, BERGEN, NOW, Rules()))
    km = kilometres(VOSS, BERGEN)
    exactly = timedelta(hours=km * 1.3 / 70)
    assert exactly <= leg.length < exactly + timedelta(minutes=1)
    assert leg.length % timedelta(minutes=1) == timedelta(0)
    assert leg.note == f"{spoken(leg.length)} by road, {km:.0f} km × 1.3 at 70 km/h"
    assert leg.basis == "planned"


def test_a_long_road_leg_names_the_law_and_the_rest() -> None:
    leg = the("road", plan(UTRECHT, ODENSE, NOW, Rules(road_km_per_hour=50)))
    assert "Regulation (EC) No 561/2006" in leg.note
    assert "11 h of rest" in leg.note


def test_a_journey_across_town_is_packed_warmed_and_checked_quickly() -> None:
    hall = Site(name="hall", latitude=60.40, longitude=5.33, country="NO", time_zone="Europe/Oslo")
    legs = plan(hall, BERGEN, NOW, Rules())
    assert whats(legs) == ["pack", "road", "warm-up", "check"]
    assert [legs[0].length, legs[2].length, legs[3].length] == [
        timedelta(minutes=20), timedelta(minutes=10), timedelta(minutes=5),
    ]  # fmt: skip


def test_air_is_an_estimate_that_says_ring_until_a_departure_is_entered() -> None:
    legs = plan(CARLISLE, BERGEN, NOW, Rules())
    assert whats(legs) == [
        "pack", "road", "hand-in", "flight", "hand-out", "border", "road", "warm-up", "check",
    ]  # fmt: skip
    for what in ("hand-in", "flight", "hand-out"):
        assert the(what, legs).basis == "estimate"
        assert the(what, legs).note.startswith("estimate, ring")
    quoted = plan(CARLISLE, BERGEN, NOW, Rules(), quotes=(quote("flight", NOW + 8 * HOUR, 2),))
    assert the("flight", quoted).basis == "quoted"
    assert utc(the("flight", quoted).starts_at) == NOW + 8 * HOUR
    assert utc(the("hand-in", quoted).ends_at) == NOW + 8 * HOUR


def test_sea_is_an_estimate_that_says_ring_until_a_departure_is_entered() -> None:
    dover = Site(
        name="Dover", latitude=51.13, longitude=1.31, country="GB", time_zone="Europe/London"
    )
    legs = plan(dover, UTRECHT, NOW, Rules())
    assert whats(legs) == [
        "pack", "road", "hand-in", "sea", "border", "road", "warm-up", "check",
    ]  # fmt: skip
    assert the("sea", legs).note.startswith("estimate, ring")
    ferry = quote("sea", NOW + 5 * HOUR, 2, "confirmed")
    told = the("sea", plan(dover, UTRECHT, NOW, Rules(), quotes=(ferry,)))
    assert told.basis == "confirmed"
    assert told.note == "confirmed: leaves 19:42, arrives 22:42"  # London, then Amsterdam


def test_a_departure_whose_cut_off_has_passed_is_not_used() -> None:
    early = quote("flight", NOW + 5 * HOUR, 2)  # packed and driven there by +2:09, cut-off 4 h
    late = quote("flight", NOW + 9 * HOUR, 2)
    both = plan(CARLISLE, BERGEN, NOW, Rules(), quotes=(early, late))
    assert utc(the("flight", both).starts_at) == late.leaves_at
    missed = the("flight", plan(CARLISLE, BERGEN, NOW, Rules(), quotes=(early,)))
    assert missed.basis == "estimate"
    assert "the quoted departure is missed" in missed.note


def test_a_quoted_cut_off_replaces_the_reckoned_one() -> None:
    early = quote("flight", NOW + 5 * HOUR, 2)
    counter = quote("hand-in", NOW + HOUR, 3)  # open from +1 h, closes at +4 h
    legs = plan(CARLISLE, BERGEN, NOW, Rules(), quotes=(early, counter))
    assert utc(the("flight", legs).starts_at) == early.leaves_at
    assert the("hand-in", legs).basis == "quoted"
    assert "cut-off 18:42" in the("hand-in", legs).note


def test_the_departure_that_arrives_first_is_taken_not_the_one_that_leaves_first() -> None:
    slow = quote("flight", NOW + 8 * HOUR, 9)
    fast = quote("flight", NOW + 9 * HOUR, 2)
    legs = plan(CARLISLE, BERGEN, NOW, Rules(), quotes=(slow, fast))
    assert utc(the("flight", legs).starts_at) == fast.leaves_at


def test_a_van_that_was_told_is_waited_for_and_not_packed_after_it_left() -> None:
    """The hired combo of the demo: their van leaves at 16:40 and is at the dock at 17:05."""
    van = Quote(
        what="road",
        leaves_at=datetime(2026, 11, 24, 15, 40, tzinfo=UTC),
        arrives_at=datetime(2026, 11, 24, 16, 5, tzinfo=UTC),
        basis="confirmed",
    )
    house = Site(name="house", latitude=60.33, longitude=5.36, country="NO",
                 time_zone="Europe/Oslo")  # fmt: skip
    legs = plan(house, BERGEN, NOW, Rules(), quotes=(van,))
    assert [f"{leg.starts_at:%H:%M}-{leg.ends_at:%H:%M}" for leg in legs] == [
        "15:42-16:02", "16:40-17:05", "17:05-17:15", "17:15-17:20",
    ]  # fmt: skip
    soon = plan(house, BERGEN, van.leaves_at - timedelta(minutes=5), Rules(), quotes=(van,))
    assert soon[0].length == timedelta(minutes=5)
    assert the("road", soon).basis == "confirmed"


def test_local_times_follow_the_place_across_midnight_and_a_border() -> None:
    legs = plan(CARLISLE, BERGEN, datetime(2026, 11, 24, 21, 0, tzinfo=UTC), Rules())
    assert legs[0].starts_at.isoformat() == "2026-11-24T21:00:00+00:00"
    assert legs[-1].ends_at.isoformat().endswith("+01:00")
    assert legs[-1].ends_at.date() > legs[0].starts_at.date()


def test_a_journey_over_the_end_of_summer_time_keeps_its_true_length() -> None:
    """Clocks went back from 03:00 to 02:00 on 25 October 2026 (Directive 2000/84/EC)."""
    leave = datetime(2026, 10, 24, 22, 30, tzinfo=UTC)  # 00:30 in Oslo, still summer
    legs = plan(VOSS, BERGEN, leave, Rules(road_km_per_hour=20))
    road = the("road", legs)
    assert (road.starts_at.utcoffset(), road.ends_at.utcoffset()) == (2 * HOUR, HOUR)
    wall_clock = road.ends_at.replace(tzinfo=None) - road.starts_at.replace(tzinfo=None)
    assert road.length == wall_clock + HOUR
    winter = plan(VOSS, BERGEN, leave + timedelta(days=10), Rules(road_km_per_hour=20))
    assert road.length == the("road", winter).length


def test_a_journey_over_the_start_of_summer_time_loses_an_hour_on_the_wall() -> None:
    """Clocks go forward from 02:00 to 03:00 on 28 March 2027 (Directive 2000/84/EC)."""
    legs = plan(VOSS, BERGEN, datetime(2027, 3, 27, 23, 30, tzinfo=UTC), Rules(road_km_per_hour=20))
    road = the("road", legs)
    wall_clock = road.ends_at.replace(tzinfo=None) - road.starts_at.replace(tzinfo=None)
    assert road.length == wall_clock - HOUR


def test_a_customs_border_has_a_leg_and_an_open_one_has_none() -> None:
    assert "border" in whats(plan(ODENSE, BERGEN, NOW, Rules()))
    assert "border" not in whats(plan(ODENSE, UTRECHT, NOW, Rules()))


@pytest.mark.parametrize(
    ("country", "territory"),
    [("DK", "EU"), ("MC", "EU"), ("GB", "GB"), ("JE", "GB"), ("NO", "NO"), ("LI", "CH"),
     ("TR", "TR"), ("XI", "EU")],
)  # fmt: skip
def test_customs_territories_are_those_of_the_treaties(country: str, territory: str) -> None:
    """Regulation (EU) No 952/2013, Article 4; Swiss-Liechtenstein treaty of 1923; United
    Kingdom-Crown Dependencies arrangements of 2018; Windsor Framework (from memory)."""
    assert customs_territory(country) == territory


def test_the_union_has_twenty_seven_members() -> None:
    """Twenty-seven member states since 1 February 2020; Monaco and 'XI' stand beside them."""
    codes = [a + b for a in map(chr, range(65, 91)) for b in map(chr, range(65, 91))]
    countries = [code for code in codes if code != "EU"]
    assert len([code for code in countries if customs_territory(code) == "EU"]) == 27 + 2


def test_an_island_is_not_reached_by_road() -> None:
    assert landmass("GB") != landmass("FR")
    assert landmass("NO") == landmass("FR")
    assert landmass("IS") != landmass("NO")


sites = st.builds(
    Site,
    name=st.just("a place"),
    latitude=st.floats(40, 65),
    longitude=st.floats(-10, 25),
    country=st.sampled_from(["GB", "NO", "DK", "NL", "IE"]),
    time_zone=st.sampled_from(["Europe/London", "Europe/Oslo", "America/New_York"]),
)
moments = st.datetimes(datetime(2026, 1, 1), datetime(2027, 12, 31)).map(
    lambda naive: naive.replace(tzinfo=UTC)
)


@given(sites, sites, moments)
def test_every_leg_begins_where_the_last_one_ended(a: Site, b: Site, leave: datetime) -> None:
    legs = plan(a, b, leave, Rules())
    assert utc(legs[0].starts_at) == leave
    assert whats(legs)[0] == "pack"
    assert whats(legs)[-2:] == ["warm-up", "check"]
    assert set(whats(legs)) <= set(LEGS)
    for before, after in pairwise(legs):
        assert utc(before.ends_at) == utc(after.starts_at)
    assert all(leg.length >= timedelta(0) and leg.note for leg in legs)


@given(sites, sites, moments, moments)
def test_without_quotes_a_journey_is_as_long_whenever_it_starts(
    a: Site, b: Site, one: datetime, other: datetime
) -> None:
    lengths = {utc(plan(a, b, leave, Rules())[-1].ends_at) - leave for leave in (one, other)}
    assert len(lengths) == 1


@given(moments, st.lists(st.tuples(st.floats(0, 48), st.floats(0.5, 10)), max_size=4))
def test_no_leg_starts_before_the_last_one_ended_whatever_was_quoted(
    leave: datetime, departures: list[tuple[float, float]]
) -> None:
    quotes = tuple(
        quote(what, leave + timedelta(hours=start), length)
        for (start, length), what in zip(departures, ["flight", "road", "sea", "flight"],
                                         strict=False)
    )  # fmt: skip
    legs = plan(CARLISLE, BERGEN, leave, Rules(), quotes=quotes)
    for before, after in pairwise(legs):
        assert utc(before.ends_at) <= utc(after.starts_at)


def test_a_time_without_a_zone_is_refused_with_a_sentence() -> None:
    naive = datetime(2026, 11, 24, 15, 42)
    with pytest.raises(ValueError, match="names no time zone"):
        plan(VOSS, BERGEN, naive, Rules())
    with pytest.raises(ValueError, match="names no time zone"):
        Quote(what="sea", leaves_at=naive, arrives_at=NOW, basis="quoted")


@pytest.mark.parametrize(
    ("what", "hours", "basis", "word"),
    [("boat", 1, "quoted", "is no leg"), ("sea", 1, "guessed", "guessed"),
     ("sea", -1, "quoted", "before it leaves")],
)  # fmt: skip
def test_a_quote_that_cannot_be_is_refused(what: str, hours: float, basis: str, word: str) -> None:
    with pytest.raises(ValueError, match=word):
        quote(what, NOW, hours, basis)


@pytest.mark.parametrize(
    "figures",
    [{"detour": 0.9}, {"road_km_per_hour": 0}, {"pack_minutes": -1}, {"sea_hours": float("nan")}],
)
def test_planning_figures_that_cannot_be_are_refused(figures: dict[str, float]) -> None:
    with pytest.raises(ValueError, match=next(iter(figures))):
        Rules(**figures)  # type: ignore[arg-type]


def test_every_planning_figure_says_what_it_rests_on() -> None:
    names = Rules.__dataclass_fields__
    assert all(Rules.basis(name) for name in names)


def test_lengths_are_spoken_as_on_a_call_sheet() -> None:
    lengths = [timedelta(seconds=25), timedelta(minutes=10), timedelta(minutes=65), 26 * HOUR]
    assert [spoken(length) for length in lengths] == ["25 s", "10 min", "1 h 05", "26 h"]

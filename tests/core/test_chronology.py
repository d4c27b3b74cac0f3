"""The order of happening, one rule a test; all histories are made up."""

from __future__ import annotations

from datetime import timedelta
from zoneinfo import ZoneInfo

import pytest

from collection.core.chronology import (
    InTheFuture,
    exact_instant,
    in_order,
    placed_us,
    refuse_future,
    unclear_rivals,
)
from collection.core.entry import UNKNOWN_US, Entry, from_us, to_us
from collection.core.events.described import Described
from collection.core.events.moved import Moved
from collection.core.events.recovered import Recovered
from collection.core.events.sighted import Sighted
from collection.core.events.stolen import Stolen
from collection.core.events.withdrawn import Withdrawn
from collection.core.fold import fold
from collection.core.state import State
from tests.core.book import BERGEN, entry, utc

BERLIN = ZoneInfo("Europe/Berlin")


def order(*entries: Entry) -> list[int]:
    return [placed.entry.number for placed in in_order(entries, zone=BERGEN)]


def state(*entries: Entry) -> State:
    return fold(in_order(entries, zone=BERGEN), "A-007", BERGEN)


def moved(number: int, to: str, happened: str, recorded: str, **more: object) -> Entry:
    return entry(Moved(to), number, happened, recorded_at=utc(recorded), **more)


def test_an_exact_time_stands_at_its_instant_whenever_it_was_recorded():
    at = placed_us("2026-11-24T14:05:00", recorded_at=utc("2026-12-01T12:00"), zone=BERGEN)
    assert from_us(at) == utc("2026-11-24T13:05:00")


def test_a_day_that_holds_the_moment_of_recording_stands_at_that_moment():
    recorded = utc("2026-11-24T23:30:00")  # 25 November, half past midnight, in Bergen
    assert placed_us("2026-11-25", recorded_at=recorded, zone=BERGEN) == to_us(recorded)
    before = placed_us("2026-11-24", recorded_at=recorded, zone=BERGEN)
    assert from_us(before) == utc("2026-11-23T23:00:00")


def test_a_wider_date_stands_at_its_earliest_instant():
    recorded = utc("2026-11-24T12:00:00")
    at = placed_us("2026-11", recorded_at=recorded, zone=BERGEN)
    assert from_us(at) == utc("2026-10-31T23:00:00")


def test_an_unknown_date_and_one_open_at_the_start_stand_before_everything():
    recorded = utc("2026-11-24T12:00:00")
    assert placed_us("", recorded_at=recorded, zone=BERGEN) == UNKNOWN_US
    assert placed_us("../1970", recorded_at=recorded, zone=BERGEN) == UNKNOWN_US
    first, second = (
        moved(0, "L-1", "0001-01-01", "2026-11-24T12:00"),
        moved(1, "L-2", "", "2026-11-24T12:01"),
    )
    assert order(first, second) == [1, 0]


def test_the_first_day_of_all_stands_at_zero_and_not_before_everything():
    """Midnight of 1 January of year 1 in Bergen lies before the first instant there is."""
    assert placed_us("0001-01-01", recorded_at=utc("2026-11-24T12:00"), zone=BERGEN) == 0


def test_a_recovery_dated_only_with_its_year_still_follows_the_theft():
    theft = entry(Stolen("I-1"), 0, "2026-11-14", recorded_at=utc("2026-11-15T08:00"))
    found = entry(
        Recovered("I-1", "L-2"), 1, "2026", recorded_at=utc("2026-11-23T10:00"), answers=0
    )
    assert order(theft, found) == [0, 1]
    assert state(theft, found).standing == "quarantined"


def test_an_answer_follows_a_theft_that_a_correction_made_later():
    theft = entry(Stolen("I-1"), 0, "2026-11-01")
    found = entry(Recovered("I-1", "L-2"), 1, "2026-11-10", answers=0)
    later = entry(Stolen("I-1"), 2, "2026-11-14", corrects=0)
    assert order(theft, found, later) == [2, 1]


def test_an_answer_follows_an_entry_that_is_not_among_those_given():
    found = entry(Recovered("I-1", "L-2"), 5, "2026", answers=3)
    theft_us = to_us(utc("2026-11-14T20:00:00"))
    placed = in_order([found], zone=BERGEN, answered_us={3: theft_us})
    assert placed[0].placed_us == theft_us


def test_a_corrected_morning_move_does_not_jump_over_the_afternoons():
    morning = moved(0, "L-1", "2026-11-24", "2026-11-24T08:00")
    afternoon = moved(1, "L-2", "2026-11-24", "2026-11-24T15:00")
    corrected = moved(2, "L-3", "2026-11-24", "2026-11-24T18:00", corrects=0)
    assert order(morning, afternoon, corrected) == [2, 1]
    assert state(morning, afternoon, corrected).place == "L-2"


def test_the_newest_correction_of_a_line_is_the_one_that_counts():
    first = moved(0, "L-1", "2026-11-24", "2026-11-24T08:00")
    second = moved(1, "L-2", "2026-11-24", "2026-11-24T09:00", corrects=0)
    third = moved(2, "L-3", "2026-11-24", "2026-11-24T10:00", corrects=1)
    assert order(third, first, second) == [2]
    assert state(first, second, third).place == "L-3"


def test_equal_places_keep_the_order_of_their_first_entries():
    entries = [moved(n, f"L-{n}", "2026-11-02", "2026-11-24T12:00") for n in range(3)]
    corrected = moved(3, "L-9", "2026-11-02", "2026-11-25T12:00", corrects=0)
    assert order(*entries, corrected) == [3, 1, 2]


def test_a_withdrawn_entry_has_no_effect_and_withdrawing_that_brings_it_back():
    theft = entry(Stolen("I-1"), 0, "2026-11-14")
    withdrawn = entry(Withdrawn("it was in the van"), 1, "2026-11-14", corrects=0)
    again = entry(Stolen("I-1"), 2, "2026-11-14", corrects=1)
    assert state(theft).standing == "stolen"
    assert state(theft, withdrawn).standing == "held"
    assert state(theft, withdrawn, again).standing == "stolen"


def test_withdrawing_a_theft_leaves_the_quarantine_until_cleared():
    theft = entry(Stolen("I-1"), 0, "2026-11-14")
    found = entry(Recovered("I-1", "L-2"), 1, "2026-11-23", answers=0)
    withdrawn = entry(Withdrawn("wrong guitar"), 2, "2026-11-14", corrects=0)
    assert state(theft, found, withdrawn).standing == "quarantined"


def test_a_sighting_or_a_move_after_a_theft_never_lifts_it():
    theft = entry(Stolen("I-1"), 0, "2026-11-14")
    seen = entry(Sighted("L-4"), 1, "2026-11-16")
    carried = moved(2, "L-5", "2026-11-17", "2026-11-17T12:00")
    found = state(theft, seen, carried)
    assert (found.standing, found.place) == ("stolen", "L-5")


def test_what_has_not_begun_is_refused():
    now = utc("2026-11-24T12:00:00")
    refuse_future("2026-11-24", now=now, zone=BERGEN)
    refuse_future("2026", now=now, zone=BERGEN)
    refuse_future("", now=now, zone=BERGEN)
    for ahead in ("2026-11-25", "2026-12", "2027", "2026-11-24T13:05:01"):
        with pytest.raises(InTheFuture, match=ahead):
            refuse_future(ahead, now=now, zone=BERGEN)


def test_a_phone_may_run_five_minutes_ahead():
    now = utc("2026-11-24T12:00:00")
    refuse_future("2026-11-24T13:05:00", now=now, zone=BERGEN)  # 12:05 UTC


def test_today_begins_at_local_midnight_not_at_universal():
    now = utc("2026-11-24T23:10:00")  # already the 25th in Bergen
    refuse_future("2026-11-25", now=now, zone=BERGEN)
    with pytest.raises(InTheFuture):
        refuse_future("2026-11-25", now=now, zone=ZoneInfo("UTC"))


def test_the_day_clocks_go_back_has_25_hours_and_its_hour_comes_twice():
    """Directive 2000/84/EC, articles 2 and 3: summer time ends at 01:00 UTC on the last Sunday
    of October, in 2026 the 25th."""
    recorded = utc("2026-12-01T12:00:00")
    day = placed_us("2026-10-25", recorded_at=recorded, zone=BERLIN)
    next_day = placed_us("2026-10-26", recorded_at=recorded, zone=BERLIN)
    assert from_us(next_day) - from_us(day) == timedelta(hours=25)
    summer = placed_us("2026-10-25T02:30:00+02:00", recorded_at=recorded, zone=BERLIN)
    winter = placed_us("2026-10-25T02:30:00+01:00", recorded_at=recorded, zone=BERLIN)
    assert from_us(winter) - from_us(summer) == timedelta(hours=1)


def test_the_day_clocks_go_forward_has_23_hours():
    """Directive 2000/84/EC, article 2: the last Sunday of March, in 2026 the 29th."""
    recorded = utc("2026-12-01T12:00:00")
    day = placed_us("2026-03-29", recorded_at=recorded, zone=BERLIN)
    next_day = placed_us("2026-03-30", recorded_at=recorded, zone=BERLIN)
    assert from_us(next_day) - from_us(day) == timedelta(hours=23)


def test_a_time_is_read_with_every_suffix_that_dates_may_have():
    """Library of Congress, EDTF specification (2019), level 0, date and time: its examples."""
    local = exact_instant("1985-04-12T23:20:30", BERLIN)
    assert local is not None
    assert local.utcoffset() == timedelta(hours=2)
    assert exact_instant("1985-04-12T23:20:30Z", BERLIN) == utc("1985-04-12T23:20:30")
    assert exact_instant("1985-04-12T23:20:30-04", BERLIN) == utc("1985-04-13T03:20:30")
    assert exact_instant("1985-04-12T23:20:30+04:30", BERLIN) == utc("1985-04-12T18:50:30")
    assert exact_instant("1964/2008", BERLIN) is None


def test_the_day_of_an_entry_is_local_and_empty_when_unknown():
    late = moved(0, "L-1", "2026-11-24T23:30:00Z", "2026-12-01T12:00")
    placed = in_order([late, moved(1, "L-2", "", "2026-12-01T12:00")], zone=BERGEN)
    assert [p.day(BERGEN) for p in placed] == ["", "2026-11-25"]


def rivals(*entries: Entry) -> list[int]:
    ordered = in_order(entries, zone=BERGEN)
    return [p.entry.number for p in unclear_rivals(ordered, ordered[-1], BERGEN)]


def test_a_rival_whose_window_reaches_past_the_winners_start_makes_the_order_unclear():
    august = moved(0, "L-1", "2026-08", "2026-11-01T12:00")
    winner = moved(1, "L-2", "2026-08-15", "2026-11-01T12:00")
    assert rivals(august, winner) == [0]


def test_a_rival_that_ends_before_the_winner_begins_is_no_rival():
    july = moved(0, "L-1", "2026-07", "2026-11-01T12:00")
    eve = moved(1, "L-3", "2026-08-14", "2026-11-01T12:00")
    winner = moved(2, "L-2", "2026-08-15", "2026-11-01T12:00")
    assert rivals(july, eve, winner) == []


def test_a_rival_that_says_the_same_leaves_nothing_unclear():
    august = moved(0, "L-2", "2026-08", "2026-11-01T12:00")
    winner = moved(1, "L-2", "2026-08-15", "2026-11-01T12:00")
    assert rivals(august, winner) == []


def test_two_entries_of_one_day_written_down_later_are_unclear():
    one = moved(0, "L-1", "2026-08-15", "2026-11-01T12:00")
    other = moved(1, "L-2", "2026-08-15", "2026-11-01T12:00")
    assert rivals(one, other) == [0]


def test_two_entries_written_down_as_they_happened_are_clear_even_when_corrected():
    morning = moved(0, "L-1", "2026-11-24", "2026-11-24T08:00")
    afternoon = moved(1, "L-2", "2026-11-24", "2026-11-24T15:00")
    corrected = moved(2, "L-3", "2026-11-24", "2026-11-24T18:00", corrects=0)
    assert rivals(morning, afternoon) == []
    assert rivals(morning, afternoon, corrected) == []


def test_exact_times_are_clear():
    one = moved(0, "L-1", "2026-08-15T14:00:00", "2026-11-01T12:00")
    other = moved(1, "L-2", "2026-08-15T14:05:00", "2026-11-01T12:00")
    assert rivals(one, other) == []


def test_an_unknown_date_rivals_only_what_had_happened_when_it_was_written():
    unknown = moved(0, "L-1", "", "2026-08-20T12:00")
    assert rivals(unknown, moved(1, "L-2", "2026-08-15", "2026-11-01T12:00")) == [0]
    assert rivals(unknown, moved(1, "L-2", "2026-08-25", "2026-11-01T12:00")) == []


def test_a_date_open_at_the_end_reaches_to_the_day_it_was_written():
    since = moved(0, "L-1", "2026-08-01/..", "2026-08-20T12:00")
    assert rivals(since, moved(1, "L-2", "2026-08-15", "2026-11-01T12:00")) == [0]
    assert rivals(since, moved(1, "L-2", "2026-08-25", "2026-11-01T12:00")) == []


def test_another_kind_of_the_same_chain_is_a_rival_too():
    seen = entry(Sighted("L-1"), 0, "2026-08")
    assert rivals(seen, moved(1, "L-2", "2026-08-15", "2026-11-01T12:00")) == [0]


def test_the_line_of_the_winner_itself_is_no_rival():
    first = entry(Described((("maker", "Corrie"),)), 0, "2026-08")
    corrected = entry(Described((("maker", "Pellow"),)), 1, "2026-08-15", corrects=0)
    assert rivals(first, corrected) == []

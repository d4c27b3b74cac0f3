"""Dates as technicians type them. The readings are house rules, no source."""

from datetime import date
from functools import partial

import pytest
from hypothesis import given
from hypothesis import strategies as st

from collection.core.partial_date import PartialDate, PartialDateError
from tests.core.test_partial_date import refusal

TODAY = date(2026, 11, 24)  # a Tuesday


@pytest.mark.parametrize(
    ("typed", "edtf"),
    [
        ("about 1961", "1961~"),
        ("About 1985", "1985~"),
        ("c. 1961", "1961~"),
        ("c1961", "1961~"),
        ("ca 1961", "1961~"),
        ("circa 1961", "1961~"),
        ("1961 or so", "1961~"),
        ("1961?", "1961?"),
        ("possibly 1961", "1961?"),
        ("about 1961?", "1961%"),
        ("probably about 1961", "1961%"),
        ("'59", "1959"),
        ("’59", "1959"),
        ("'29", "2029"),
        ("'30", "1930"),
        ("early 60s", "1960/1963"),
        ("mid 60s", "1964/1966"),
        ("mid-1960s", "1964/1966"),
        ("late '60s", "1967/1969"),
        ("in the early sixties", "1960/1963"),
        ("1960s", "196X"),
        ("the 1960's", "196X"),
        ("60s", "196X"),
        ("196x", "196X"),
        ("around the 1960s", "196X~"),
        ("early 60s?", "1960?/1963?"),
        ("1800s", "18XX"),
        ("early 1961", "1961-37"),
        ("mid 1961", "1961-38"),
        ("late 1961", "1961-39"),
        ("before 1970", "../1970"),
        ("pre-1970", "../1970"),
        ("on or before 9 June 2019", "../2019-06-09"),
        ("after 1970", "1970/.."),
        ("since 1991", "1991/.."),
        ("1970 or later", "1970/.."),
        ("before about 1970", "../1970~"),
        ("1961/62", "1961/1962"),
        ("1958-60", "1958/1960"),
        ("1958–60", "1958/1960"),
        ("1958-1960", "1958/1960"),
        ("1908-20", "1908/1920"),
        ("c. 1958-60", "1958~/1960~"),
        ("1964 to 1970", "1964/1970"),
        ("1964 - 1970", "1964/1970"),
        ("between 1964 and 1970", "1964/1970"),
        ("from 1964 to 1970", "1964/1970"),
        ("late 1958 to early 1960", "1958-39/1960-37"),
        ("1959 or 1961", "[1959,1961]"),
        ("1959, 1960 or 1962", "[1959,1960,1962]"),
        ("Mar 1961", "1961-03"),
        ("March '61", "1961-03"),
        ("Aug 25", "2025-08"),
        ("Sept 2019", "2019-09"),
        ("June 2019", "2019-06"),
        ("9 Jun 2019", "2019-06-09"),
        ("9th of June 2019", "2019-06-09"),
        ("June 9, 2019", "2019-06-09"),
        ("Tue 24 Nov 2026", "2026-11-24"),
        ("9-11 June 2019", "2019-06-09/2019-06-11"),
        ("28 June to 3 July 2019", "2019-06-28/2019-07-03"),
        ("March to June 1961", "1961-03/1961-06"),
        ("14/08/2025", "2025-08-14"),
        ("14.8.25", "2025-08-14"),
        ("3/4/2025", "2025-04-03"),
        ("2025/8/14", "2025-08-14"),
        ("08/2025", "2025-08"),
        ("2025-08-14", "2025-08-14"),
        ("2025", "2025"),
        ("  1961  ", "1961"),
        ("spring 1961", "1961-21"),
        ("fall of 1961", "1961-23"),
        ("Q1 1961", "1961-33"),
        ("second quarter of 1961", "1961-34"),
        ("first half of 1961", "1961-40"),
    ],
)
def test_what_technicians_type_is_read(typed, edtf):
    assert PartialDate.read(typed).text == edtf


@pytest.mark.parametrize(
    ("typed", "edtf"),
    [
        ("today", "2026-11-24"),
        ("this morning", "2026-11-24"),
        ("yesterday", "2026-11-23"),
        ("last night", "2026-11-23"),
        ("last Tuesday", "2026-11-17"),
        ("last Mon", "2026-11-23"),
        ("last Wednesday", "2026-11-18"),
        ("3 days ago", "2026-11-21"),
        ("two weeks ago", "2026-11-10~"),
        ("a month ago", "2026-10~"),
        ("30 years ago", "1996~"),
        ("last week", "2026-11-16/2026-11-22"),
        ("this week", "2026-11-23/2026-11-24"),
        ("last month", "2026-10"),
        ("last year", "2025"),
        ("since last Tuesday", "2026-11-17/.."),
    ],
)
def test_words_that_count_from_today_need_today(typed, edtf):
    assert PartialDate.read(typed, today=TODAY).text == edtf
    with pytest.raises(PartialDateError, match="counts from the day it was written"):
        PartialDate.read(typed)


@pytest.mark.parametrize(
    ("typed", "position", "reason"),
    [
        ("soon after the war", 0, "write for example"),
        ("before the flood", 11, "write for example"),
        ("19585", 4, "four digits"),
        ("1962-1958", 5, "ends before it starts"),
        ("1962-58", 5, "ends before it starts"),
        ("31/02/2025", 0, "no such day in February"),
        ("  31/02/2025", 2, "no such day in February"),
        ("08/14/2025", 3, "the day comes first"),
        ("2025-13-01", 5, "no month 13"),
        ("2025-8-32", 7, "no day 32"),
        ("about 31/02/2025", 6, "no such day"),
        ("9 June", 6, "the year is missing"),
        ("Wed 24 Nov 2026", 0, "that day is a Tuesday, not a Wednesday"),
        ("1908/12", 5, "may be a year and a month or two years"),
        ("lots", 0, "write for example"),
        ("unknown", 0, "write for example"),
        ("", 0, "no date"),
        ("   ", 0, "no date"),
        ("about", 0, "write for example"),
        ("before 1970 or later", 0, "one plain date"),
    ],
)
def test_a_refusal_points_into_what_was_typed(typed, position, reason):
    with pytest.raises(PartialDateError) as caught:
        PartialDate.read(typed)
    assert reason in caught.value.reason
    assert caught.value.position == position


def test_years_that_are_also_a_season_are_refused_rather_than_guessed():
    assert PartialDate.parse("1938-41").earliest == date(1938, 7, 1)
    with pytest.raises(PartialDateError, match="'1938 to 1941' or name the season"):
        PartialDate.read("1938-41")
    assert PartialDate.read("1938 to 41").text == "1938/1941"
    assert PartialDate.read("2001-21").text == "2001-21"


def test_two_digits_follow_the_century_of_today():
    assert PartialDate.read("14.8.31").text == "1931-08-14"
    assert PartialDate.read("14.8.31", today=date(2030, 1, 1)).text == "2031-08-14"


def test_what_counts_from_the_first_years_is_refused_in_words():
    with pytest.raises(PartialDateError, match="outside the years"):
        PartialDate.read("900 years ago", today=date(800, 1, 1))


@pytest.mark.parametrize(
    "text",
    (
        "1985~ 1961? 1961% 1958/1960 1958~/1960~ ../1970 ../2019-06-09 1970/.. 2019-06-09 2019-06 "
        "196X 196X~ 18XX 195X/196X 2001-21 2001-34 2001-37 2001-41 [1959,1961] [1959,1960,1962]"
    ).split(),
)
def test_the_echo_can_be_typed_back(text):
    assert PartialDate.read(PartialDate.parse(text).sentence()).text == text


@given(st.dates(min_value=date(1900, 1, 1), max_value=date(2099, 12, 31)))
def test_law_every_way_to_write_a_day_reads_alike(day):
    ways = [f"{day.day}/{day.month}/{day.year}", f"{day:%d.%m.%Y}", f"{day:%d %b %Y}"]
    ways += [f"{day:%B} {day.day}, {day.year}", f"{day:%a %d %B %Y}", day.isoformat()]
    assert {PartialDate.read(way).text for way in ways} == {day.isoformat()}


@given(st.text("0123456789/-. '?~X[]{}," + "abcdefghijklmnoprstuwy", max_size=64))
def test_law_whatever_is_typed_is_read_or_refused_with_a_place(typed):
    refused = refusal(partial(PartialDate.read, today=TODAY), typed)
    if refused:
        assert 0 <= refused.position <= len(typed)
    else:
        found = PartialDate.read(typed, today=TODAY)
        assert PartialDate.parse(found.text) == found

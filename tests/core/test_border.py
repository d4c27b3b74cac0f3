"""Borders on the way, stamps, last days of re-export, and how long papers are valid."""

from datetime import date

import pytest

from collection.core.border import (
    Crossing,
    Stop,
    borders,
    ends_too_early,
    months_after,
    out_soon,
    still_inside,
    valid_at_most_until,
)

NOV = {day: date(2026, 11, day) for day in range(1, 31)}


def crossing(day, direction="import", country="NO", **more):
    return Crossing(NOV[day], "the port", country, direction, **({"stamped": True} | more))


def test_a_border_lies_between_two_territories_and_not_within_one():
    stops = [Stop(NOV[5], "GB"), Stop(NOV[10], "NO"), Stop(NOV[27], "DK"), Stop(NOV[30], "DE")]
    found = [(one.leaves, one.enters) for one in borders(stops)]
    assert found == [("GB", "NO"), ("NO", "DK")]  # Denmark and Germany: one customs union


def test_a_border_is_on_from_the_day_of_one_show_to_the_day_of_the_next():
    (one,) = borders([Stop(NOV[24], "NO"), Stop(NOV[27], "DK", "Aarhus")])
    assert [one.is_on(NOV[day]) for day in (23, 24, 26, 27, 28)] == [
        False, True, True, True, False,
    ]  # fmt: skip
    assert one.towards == "Aarhus"


def test_the_way_there_and_the_way_home_are_borders_too():
    found = borders([Stop(NOV[10], "NO")], home="GB")
    assert [(one.leaves, one.enters) for one in found] == [("GB", "NO"), ("NO", "GB")]
    assert borders([], home="GB") == ()


def test_a_stop_without_a_country_is_left_out():
    assert borders([Stop(NOV[5], "GB"), Stop(NOV[6], ""), Stop(NOV[7], "GB")]) == ()


def test_a_crossing_without_stamp_is_open_until_it_is_put_right():
    assert crossing(9, stamped=False).open
    assert not crossing(9, stamped=False, put_right=True).open
    assert not crossing(9).open


def test_an_import_is_answered_by_the_re_export_from_the_same_territory():
    came = crossing(9, out_by=NOV[30])
    assert still_inside([came]) == (came,)
    assert still_inside([came, crossing(26, "re-export")]) == ()
    assert still_inside([came, crossing(26, "re-export", "DK")]) == (came,)


def test_the_last_day_of_re_export_warns_a_fortnight_before_and_once_past():
    came = crossing(9, out_by=NOV[30])
    assert out_soon([came], today=NOV[15]) == ()
    assert out_soon([came], today=NOV[16]) == (came,)
    assert out_soon([came], today=date(2026, 12, 9)) == (came,)
    assert out_soon([crossing(9)], today=NOV[30]) == ()


def test_a_carnet_has_to_last_until_the_goods_are_home():
    assert ends_too_early(NOV[12], NOV[13])
    assert not ends_too_early(NOV[13], NOV[13])
    assert not ends_too_early(None, NOV[13])


@pytest.mark.parametrize(
    ("day", "months", "there"),
    [
        (date(2026, 1, 31), 1, date(2026, 2, 28)),
        (date(2024, 1, 31), 1, date(2024, 2, 29)),
        (date(2026, 11, 24), 12, date(2027, 11, 24)),
        (date(2026, 12, 15), 1, date(2027, 1, 15)),
        (date(2024, 2, 29), 36, date(2027, 2, 28)),
    ],
)
def test_months_are_counted_by_the_calendar(day, months, there):
    assert months_after(day, months) == there


def test_twelve_months_from_issue_end_the_day_before():
    # Source: Istanbul Convention, Annex A: valid for one year at most
    assert valid_at_most_until(date(2026, 10, 12), 12) == date(2027, 10, 11)

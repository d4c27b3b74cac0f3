"""When work that comes round is due; expected values worked by hand."""

from datetime import date, timedelta
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from collection.core.due import Interval, Use, due, slots, spoken_interval, times_a_year

TODAY = date(2026, 11, 24)
US_A_DAY = 86_400_000_000


def us(day: date) -> int:
    return day.toordinal() * US_A_DAY


def show(day: int, ht: str = "2", heaters: str = "4") -> Use:
    on = date(2026, 11, day)
    return Use(on, us(on), Decimal(ht), Decimal(heaters))


def asked(every: str, measured_by: str, *, last: int | None, uses=(), coming=(), until: int = 25):
    on = date(2026, 11, last) if last else None
    return due(
        Interval(Decimal(every), measured_by),
        last=(on, us(on)) if on else None,
        uses=uses,
        coming=coming,
        today=TODAY,
        until=date(2026, 11, until),
    )


def test_shows_before_it_was_last_done_do_not_count():
    found = asked("2", "shows", last=20, uses=[show(19), show(21), show(22)])
    assert (found.standing, found.used, found.words) == ("due", 2, "2 of 2 shows")


def test_each_clock_counts_its_own_hours():
    uses = [show(21, "1.8", "3.9"), show(22, "2.2", "4.1")]
    assert asked("4", "ht-hours", last=20, uses=uses).standing == "due"
    assert asked("4.1", "ht-hours", last=20, uses=uses).used == Decimal("4.0")
    assert asked("8", "heater-hours", last=20, uses=uses).standing == "due"


def test_a_show_to_come_fills_the_interval_on_its_day():
    coming = [show(24), show(27)]
    soon = asked("2", "shows", last=21, uses=[show(22)], coming=coming, until=24)
    assert (soon.standing, soon.by) == ("due", date(2026, 11, 24))
    far = asked("3", "shows", last=21, uses=[show(22)], coming=coming, until=25)
    assert (far.standing, far.by) == ("later", date(2026, 11, 27))
    beyond = asked("9", "shows", last=21, uses=[show(22)], coming=coming)
    assert (beyond.standing, beyond.by) == ("later", None)


@pytest.mark.parametrize(
    ("every", "standing"), [("3", "due"), ("4", "due"), ("5", "coming"), ("6", "later")]
)
def test_days_are_due_on_the_last_of_them(every, standing):
    """Last done on 20 November: four days are full on the 24th, five on the 25th, the day off."""
    assert asked(every, "days", last=20).standing == standing


def test_work_the_book_never_saw_is_neither_due_nor_done():
    assert asked("30", "days", last=None).standing == "unwritten"
    assert asked("1", "shows", last=None, uses=[show(22)]).standing == "unwritten"


def test_work_after_other_work_is_due_once_that_was_done_since():
    new_tubes = [show(18)]
    assert asked("1", "after", last=None, uses=new_tubes).standing == "due"
    assert asked("1", "after", last=19, uses=new_tubes).standing == "later"
    assert asked("1", "after", last=None).standing == "later"


def test_the_day_off_and_the_bench_slot_are_gaps_between_shows():
    """Shows on 24, 25, 27, 28 and 30 November: 26 is off, 29 too, 1 and 2 December are both."""
    shows = [date(2026, 11, day) for day in (24, 25, 27, 28, 30)]
    found = slots(shows, date(2026, 11, 24))
    assert (found.day_off, found.bench) == (date(2026, 11, 26), date(2026, 12, 1))
    assert slots([], date(2026, 11, 23)).day_off == TODAY


def test_yearly_use_counts_the_last_365_days_only():
    year = [Use(TODAY - timedelta(days=n), 0, Decimal(2)) for n in (1, 100, 364, 365, 400)]
    assert times_a_year(Interval(Decimal(1), "shows"), year, today=TODAY) == 3
    assert times_a_year(Interval(Decimal(3), "ht-hours"), year, today=TODAY) == 2
    assert times_a_year(Interval(Decimal(1), "after"), year, today=TODAY) is None


def test_an_interval_is_spoken():
    assert spoken_interval(Decimal("60.0"), "ht-hours") == "every 60 hours of high tension"
    assert spoken_interval(Decimal(1), "days") == "every day"
    assert spoken_interval(Decimal(365), "days") == "every year"
    assert spoken_interval(Decimal(1), "after", "tape loop") == "after tape loop"
    assert spoken_interval(Decimal(2), "after", "tape loop") == "2 times after tape loop"


@given(
    st.lists(st.integers(1, 23), max_size=12),
    st.integers(1, 23),
    st.integers(1, 12),
)
def test_counting_agrees_with_a_naive_count(days, last, every):
    found = asked(str(every), "shows", last=last, uses=[show(day) for day in days])
    naive = sum(1 for day in days if day > last)
    assert found.used == naive
    assert (found.standing == "due") == (naive >= every)

"""Lengths, moments and money in words."""

from datetime import UTC, date, datetime, timedelta

import pytest

from collection.core.wording import ago, day, duration, money, since

NOW = datetime(2026, 11, 24, 15, 20, tzinfo=UTC)


@pytest.mark.parametrize(
    ("seconds", "words"),
    [(0, "0 s"), (10, "10 s"), (90, "1 min 30 s"), (1500, "25 min"), (3599, "1 h"),
     (4200, "1 h 10"), (7500, "2 h 05"), (86400, "1 day"), (183600, "2 days 3 h"),
     (9 * 86400 + 3 * 3600, "9 days")],
)  # fmt: skip
def test_a_length_is_said_in_its_two_largest_units(seconds, words):
    assert duration(seconds) == words


def test_less_than_nothing_is_no_length():
    with pytest.raises(ValueError, match="0 or more"):
        duration(-1)


@pytest.mark.parametrize(
    ("before", "words"),
    [(timedelta(seconds=59), "just now"),
     (timedelta(seconds=60), "1 min ago"), (timedelta(minutes=25), "25 min ago"),
     (timedelta(hours=23, minutes=59), "23 h ago"), (timedelta(days=1), "1 day ago"),
     (timedelta(minutes=-90), "in 1 h")],
)  # fmt: skip
def test_a_moment_is_said_by_one_unit(before, words):
    assert ago(NOW - before, NOW) == words


def test_a_day_of_this_year_needs_no_year():
    # weekdays from memory: 24 November 2026 is a Tuesday
    assert day(date(2026, 11, 24), today=NOW.date()) == "Tue 24 Nov"
    assert day(date(2019, 6, 9), today=NOW.date()) == "Sun 9 Jun 2019"


def test_since_names_the_hour_today_and_the_day_before():
    assert since(NOW - timedelta(hours=1), NOW) == "since 14:20"
    assert since(NOW - timedelta(days=10), NOW) == "since Sat 14 Nov"


@pytest.mark.parametrize(
    ("minor", "currency", "said"),
    [(125000, "GBP", "1,250.00\xa0GBP"), (5, "EUR", "0.05\xa0EUR"), (-99, "NOK", "−0.99\xa0NOK"),
     (1250, "JPY", "1,250\xa0JPY"), (1250, "KWD", "1.250\xa0KWD")],
)  # fmt: skip
def test_money_has_the_digits_of_its_currency(minor, currency, said):
    # minor units after ISO 4217, from memory: yen none, Kuwaiti dinar three
    assert money(minor, currency) == said

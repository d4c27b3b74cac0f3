"""Lengths of time, moments and money in words, one form for the whole register."""

from datetime import date, datetime
from decimal import Decimal

# Digits after the point by currency; everything else has two. From memory, after ISO 4217.
MINOR_DIGITS = {"ISK": 0, "JPY": 0, "KRW": 0, "BHD": 3, "KWD": 3, "TND": 3}
MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
WEEKDAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
HOUR, DAY = 3600, 86400  # seconds


def duration(seconds: float) -> str:
    """A length of time in its two largest units, rounded to the smaller one.

    >>> [duration(s) for s in (10, 90, 1500, 4200, 7200, 183600)]
    ['10 s', '1 min 30 s', '25 min', '1 h 10', '2 h', '2 days 3 h']

    Raises:
        ValueError: less than nothing.
    """
    if seconds < 0:
        raise ValueError(f"a length of {seconds} s; accepted: 0 or more")
    whole = round(seconds)
    if whole < 300:
        minutes, rest = divmod(whole, 60)
        return _two(minutes, "min", rest, "s")
    minutes = round(seconds / 60)
    if minutes < 60:
        return f"{minutes} min"
    if minutes < 24 * 60:
        hours, minutes = divmod(minutes, 60)
        return f"{hours} h {minutes:02}" if minutes else f"{hours} h"
    days, hours = divmod(round(seconds / HOUR), 24)
    return f"{_days(days)} {hours} h" if hours and days < 7 else _days(days)


def ago(moment: datetime, now: datetime) -> str:
    """How long before `now` something was, in one unit; both aware.

    >>> from datetime import UTC
    >>> ago(datetime(2026, 11, 24, 14, 20, tzinfo=UTC), datetime(2026, 11, 24, 15, 20, tzinfo=UTC))
    '1 h ago'
    """
    seconds = (now - moment).total_seconds()
    if seconds < 0:
        return f"in {_one_unit(-seconds)}"
    return "just now" if seconds < 60 else f"{_one_unit(seconds)} ago"


def day(when: date, *, today: date | None) -> str:
    """A day with its weekday; the year is left out when it is that of `today`.

    >>> day(date(2026, 11, 24), today=date(2026, 12, 1)), day(date(2019, 6, 9), today=None)
    ('Tue 24 Nov', 'Sun 9 Jun 2019')
    """
    short = f"{WEEKDAYS[when.weekday()]} {when.day} {MONTHS[when.month - 1]}"
    return short if today is not None and when.year == today.year else f"{short} {when.year}"


def since(moment: datetime, now: datetime) -> str:
    """From when something holds: the hour if that is today, else the day; both in one zone."""
    if moment.date() == now.date():
        return f"since {moment:%H:%M}"
    return f"since {day(moment.date(), today=now.date())}"


def amount(minor: int, currency: str) -> Decimal:
    """An amount in minor units as a number in the currency's own unit.

    >>> amount(125050, "GBP"), amount(-1250, "JPY")
    (Decimal('1250.50'), Decimal('-1250'))
    """
    return Decimal(minor).scaleb(-MINOR_DIGITS.get(currency, 2))


def money(minor: int, currency: str) -> str:
    r"""An amount in minor units with its currency code, figures in threes.

    >>> money(125000, "GBP"), money(-1250, "JPY"), money(5, "EUR")
    ('1,250.00\xa0GBP', '−1,250\xa0JPY', '0.05\xa0EUR')
    """
    digits = MINOR_DIGITS.get(currency, 2)
    whole, part = divmod(abs(minor), 10**digits)
    sign = "−" if minor < 0 else ""
    fraction = f".{part:0{digits}}" if digits else ""
    return f"{sign}{whole:,}{fraction}\N{NO-BREAK SPACE}{currency}"


def _days(number: int) -> str:
    return "1 day" if number == 1 else f"{number} days"


def _two(large: int, unit: str, small: int, small_unit: str) -> str:
    if not large:
        return f"{small} {small_unit}"
    return f"{large} {unit} {small} {small_unit}" if small else f"{large} {unit}"


def _one_unit(seconds: float) -> str:
    if seconds < HOUR:
        return f"{int(seconds // 60)} min"
    if seconds < DAY:
        return f"{int(seconds // HOUR)} h"
    return _days(int(seconds // DAY))

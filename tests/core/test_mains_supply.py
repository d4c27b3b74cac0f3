"""Mains by country, and what cannot run on them."""

from datetime import date

import pytest

from collection.core.mains_supply import MAINS_AS_OF, SUPPLIES, Fed, misfits
from collection.core.transit_rules import Rules

RULES = Rules()


@pytest.mark.parametrize(
    ("country", "volts", "hertz"),
    [
        ("NO", 230, 50),  # EN 50160:2010, clause 4: nominal 230 V, 50 Hz
        ("GB", 230, 50),  # BS EN 50160, the same
        ("US", 120, 60),  # ANSI C84.1 service voltage; frequency from memory
        ("CA", 120, 60),  # CSA C235; frequency from memory
    ],
)
def test_the_table_agrees_with_the_standards(country: str, volts: int, hertz: int) -> None:
    assert (SUPPLIES[country].volts, SUPPLIES[country].hertz) == (volts, hertz)


def test_every_line_says_what_it_rests_on_and_as_of_when() -> None:
    assert all(line.source and line.as_of == MAINS_AS_OF for line in SUPPLIES.values())
    assert date(2026, 1, 1) < MAINS_AS_OF


def test_where_the_frequency_differs_within_a_country_none_is_said() -> None:
    assert SUPPLIES["JP"].hertz is None  # from memory: 50 Hz east, 60 Hz west


def test_a_synchronous_motor_runs_a_fifth_fast_on_sixty_hertz() -> None:
    (said,) = misfits([Fed(code="E-002", volts=None, hertz=50)], volts=120, hertz=60, rules=RULES)
    assert said[0] == "E-002"
    assert "20 % fast" in said[1]  # 60 / 50, by hand


def test_fifty_hertz_is_a_sixth_slow_for_sixty() -> None:
    (said,) = misfits([Fed(code="E-9", volts=None, hertz=60)], volts=230, hertz=50, rules=RULES)
    assert "17 % slow" in said[1]  # 50 / 60 = 0.833, by hand


@pytest.mark.parametrize(("volts", "fits"), [(230, True), (220, True), (240, True), (120, False)])
def test_volts_fit_within_the_tolerance(volts: int, fits: bool) -> None:
    """Supply in Great Britain 230 V -6/+10 %: 216.2 to 253 V."""
    found = misfits([Fed(code="A-1", volts=230, hertz=None)], volts=volts, hertz=50, rules=RULES)
    assert (found == ()) is fits


def test_what_is_not_known_passes() -> None:
    assert (
        misfits([Fed(code="A-1", volts=None, hertz=None)], volts=120, hertz=60, rules=RULES) == ()
    )
    assert (
        misfits([Fed(code="A-1", volts=230, hertz=50)], volts=None, hertz=None, rules=RULES) == ()
    )

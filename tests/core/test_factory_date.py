"""Factory dates of tubes and capacitors: examples with their page, then what is refused."""

import pytest

from collection.core.factory_date import capacitor_date, tube_date


@pytest.mark.parametrize(
    ("mark", "years", "month", "week"),
    # tubemaze.info: B0D is Blackburn, April 1960; three characters with 8 are 1958, four are 1968
    # or 1978.
    [
        ("B0D", (1960,), 4, None),
        ("B8A", (1958,), 1, None),
        ("B8L2", (1968, 1978), 12, 2),
        ("b2k4", (1962, 1972), 11, 4),
    ],
)
def test_tubes_of_the_philips_group_tell_year_and_month(mark, years, month, week):
    found = tube_date(mark)
    assert (found.factory, found.years) == ("B", years)
    assert (found.month, found.week_of_month) == (month, week)


@pytest.mark.parametrize("mark", ["B2D", "B0M", "B0D6", "B0D0", "00D", "B0", "", "B0D12"])
def test_another_form_is_no_factory_date_of_a_tube(mark):
    with pytest.raises(ValueError, match="no factory date"):
        tube_date(mark)


@pytest.mark.parametrize(
    ("mark", "years", "month"),
    # IEC 60062 year letters, from memory: A 1990, K 1998, X 2009, and 20 years before.
    [
        ("A1", (1970, 1990), 1),
        ("K9", (1978, 1998), 9),
        ("XO", (1989, 2009), 10),
        ("FN", (1975, 1995), 11),
        ("hd", (1976, 1996), 12),
    ],
)
def test_capacitors_keep_both_decades(mark, years, month):
    found = capacitor_date(mark, span=(1970, 2009))
    assert (found.years, found.month) == (years, month)


@pytest.mark.parametrize("mark", ["I1", "O1", "G1", "A0", "AJ", "A", "", "A12"])
def test_another_form_is_no_date_of_a_capacitor(mark):
    with pytest.raises(ValueError, match="no capacitor date"):
        capacitor_date(mark, span=(1970, 2009))


def test_a_capacitor_outside_the_span_is_refused():
    with pytest.raises(ValueError, match="fits no year"):
        capacitor_date("A1", span=(1971, 1989))

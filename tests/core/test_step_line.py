"""The step line of values over time."""

from datetime import date

from collection.core.drawing.steps import step_plot

FIRST, LATER, UNTIL = date(2024, 1, 1), date(2025, 1, 1), date(2026, 1, 1)


def test_a_value_holds_until_the_next_one():
    plot = step_plot([(FIRST, 1000), (LATER, 2000)], until=UNTIL, unit="EUR")
    across = round(100 * 366 / 731, 2)  # days of 2024 of those of 2024 and 2025
    assert plot.line == f"M0.0 50.0H{across}V0.0H100.0"
    assert [words for _, _, words in plot.corners] == [
        "1,000 EUR from 1 Jan 2024",
        "2,000 EUR from 1 Jan 2025",
    ]
    assert (plot.heights[0], plot.heights[-1]) == ((100.0, "0"), (0.0, "2,000"))


def test_one_value_of_today_is_still_a_line():
    plot = step_plot([(UNTIL, 500)], until=UNTIL, unit="EUR")
    assert plot.line.startswith("M")
    assert len(plot.corners) == 1


def test_nothing_valued_draws_nothing():
    assert step_plot([], until=UNTIL, unit="EUR") is None

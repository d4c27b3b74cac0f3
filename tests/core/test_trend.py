"""The picture of readings over time."""

from datetime import date

from collection.core.drawing.trend import TrendPoint, TrendSeries, trend_plot

JAN, JUL, OCT = date(2026, 1, 1), date(2026, 7, 2), date(2026, 12, 31)


def _series(name, *values, like=(True, True, True)):
    days = (JAN, JUL, OCT)
    return TrendSeries(name, tuple(map(TrendPoint, days, values, like)))


def test_points_stand_where_their_day_and_value_are():
    """182 of 364 days is the middle; 35 lies halfway between 30 and 40."""
    line = trend_plot([_series("V4", 30, 35, 40)], unit="mA").lines[0]
    assert [(mark.x, mark.y) for mark in line.marks] == [(0, 100), (50, 50), (100, 0)]
    assert line.line == "M0.0 100.0L50.0 50.0L100.0 0.0"
    assert line.marks[0].words == "V4 30 mA, 1 Jan 2026"


def test_the_line_passes_by_what_does_not_compare():
    line = trend_plot([_series("V4", 30, 35, 40, like=(True, False, True))], unit="mA").lines[0]
    assert line.line == "M0.0 100.0L100.0 0.0"
    assert [mark.full for mark in line.marks] == [True, False, True]


def test_names_of_close_lines_do_not_cover_each_other():
    plot = trend_plot([_series("V4", 30, 35, 40), _series("V5", 30, 35, 39.9)], unit="mA")
    ends = sorted(line.end for line in plot.lines)
    assert ends[1] - ends[0] >= 9


def test_names_at_the_foot_stay_in_the_picture():
    plot = trend_plot([_series("V4", 40, 35, 30), _series("V5", 40, 35, 30)], unit="mA")
    assert max(line.end for line in plot.lines) <= 100


def test_no_mark_covers_a_figure_or_a_name_on_a_phone():
    """A column of 358 px; marks reach 7 px out, 'V4 36.5' takes 55 px (measured)."""
    plot = trend_plot([_series("V4", 30, 35, 36.5)], unit="mA")
    mark = 100 * 7 / 358
    assert plot.figures < plot.left - mark
    assert plot.right + mark < 100 - 100 * 55 / 358
    assert [label.x for label in plot.days][-1] == plot.right == plot.left + plot.width


def test_one_reading_makes_a_picture_and_none_makes_no_picture():
    one = TrendSeries("V4", (TrendPoint(JAN, 38, True),))
    plot = trend_plot([one], unit="mA")
    assert plot.lines[0].marks[0].x == 50
    assert plot.lines[0].line == ""
    assert trend_plot([], unit="mA") is None


def test_a_scale_holds_every_value():
    plot = trend_plot([_series("V4", 37.2, 38, 41.9)], unit="mA")
    figures = [float(words) for _, words in plot.heights]
    assert figures[0] <= 37.2
    assert figures[-1] >= 41.9

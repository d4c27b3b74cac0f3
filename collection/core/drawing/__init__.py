"""Geometry of the register's drawings: places on a scale, never colours or words of a page.

Every function takes figures and gives frozen records whose numbers are SVG attributes: percentages
of the width (`x`, `width`, 0 to 100, two decimals) or units of a view box. Templates only write
them down, so that no page needs a style attribute.
"""

from collection.core.drawing.fan import FanPlot, FanSeries, fan_plot
from collection.core.drawing.grade import GradeRow, grade_row
from collection.core.drawing.legs import Leg, LegStrip, leg_strip
from collection.core.drawing.marks import Gauge, gauge
from collection.core.drawing.scale import place
from collection.core.drawing.times import DayStrip, Moment, YearStrip, day_strip, year_strip

__all__ = [
    "DayStrip",
    "FanPlot",
    "FanSeries",
    "Gauge",
    "GradeRow",
    "Leg",
    "LegStrip",
    "Moment",
    "YearStrip",
    "day_strip",
    "fan_plot",
    "gauge",
    "grade_row",
    "leg_strip",
    "place",
    "year_strip",
]

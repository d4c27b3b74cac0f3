"""What the page of readings is given: every reading, and the picture of those that compare."""

from collection.bench.readings.queries import Reading
from collection.core.drawing.trend import TrendPlot, TrendPoint, TrendSeries, trend_plot


def trend_of(readings: list[Reading]) -> TrendPlot | None:
    """Currents of each socket over time; full marks compare with the newest reading."""
    dated = [one for one in reversed(readings) if one.on]
    names = dict.fromkeys(f.position for one in readings for f in one.figures)
    series = [TrendSeries(name, _points(name, dated)) for name in names]
    return trend_plot([one for one in series if one.points], unit="mA")


def _points(name: str, dated: list[Reading]) -> tuple[TrendPoint, ...]:
    found = []
    for one in dated:
        figure = one.figure(name)
        if one.on and figure and figure.current_ma is not None:
            found.append(TrendPoint(one.on, figure.current_ma, like=not one.unlike))
    return tuple(found)

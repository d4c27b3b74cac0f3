"""The picture of readings over time; its figures come from the core."""

from django import template

from collection.bench.readings.queries import Reading
from collection.core.drawing.trend import TrendPlot

register = template.Library()


@register.inclusion_tag("_parts/draw/trend.html")
def trend(plot: TrendPlot, what: str) -> dict[str, object]:
    """Readings socket by socket: full marks compare with the newest, hollow ones do not."""
    return {"plot": plot, "what": what}


@register.inclusion_tag("bench/readings/_reading.html")
def socket_reading(reading: Reading | None, position: str, part: str = "") -> dict[str, object]:
    """The latest reading of a socket, while the part it was read on still sits in it."""
    figure = reading.figure(position) if reading else None
    still = figure is not None and (not figure.read.part or figure.read.part == part)
    return {"reading": reading, "figure": figure if still else None}


@register.simple_tag
def read_of(reading: Reading | None, part: str) -> Reading | None:
    """The reading, when it was taken on this part or set."""
    parts = {figure.read.part for figure in reading.figures} if reading else set()
    return reading if part in parts else None

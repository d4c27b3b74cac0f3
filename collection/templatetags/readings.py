"""The picture of readings over time; its figures come from the core."""

from django import template

from collection.core.drawing.trend import TrendPlot

register = template.Library()


@register.inclusion_tag("_parts/draw/trend.html")
def trend(plot: TrendPlot, what: str) -> dict[str, object]:
    """Readings socket by socket: full marks compare with the newest, hollow ones do not."""
    return {"plot": plot, "what": what}

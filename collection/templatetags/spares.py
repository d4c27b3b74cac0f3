"""Drawings of the stock: flows and lives. Load with `{% load spares %}`."""

from django import template

from collection.core.drawing.flow import FlowPlot

register = template.Library()


@register.inclusion_tag("_parts/draw/flow.html")
def flow(plot: FlowPlot, what: str) -> dict[str, object]:
    """Units from where they came to where they are."""
    return {"plot": plot, "what": what}

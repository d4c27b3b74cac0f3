"""Drawings of the stock: flows and lives. Load with `{% load spares %}`."""

from django import template

from collection.core.drawing.flow import FlowPlot
from collection.core.drawing.survival import SurvivalPlot

register = template.Library()


@register.inclusion_tag("_parts/draw/flow.html")
def flow(plot: FlowPlot, what: str) -> dict[str, object]:
    """Units from where they came to where they are."""
    return {"plot": plot, "what": what}


@register.inclusion_tag("_parts/draw/survival.html")
def survival(plot: SurvivalPlot, what: str, unit: str) -> dict[str, object]:
    """The share still alive by hours, shows or days."""
    return {"plot": plot, "what": what, "unit": unit}


@register.filter
def percent(share: float) -> str:
    """A share in 100, with two decimals."""
    return f"{100 * share:.2f}"

"""The drawing of values over time."""

from django import template

from collection.core.drawing.steps import StepPlot

register = template.Library()


@register.inclusion_tag("_parts/draw/steps.html")
def steps(plot: StepPlot, what: str) -> dict[str, object]:
    """A step line: a figure holds until the next one is said."""
    return {"plot": plot, "what": what}

"""The date ladder as a picture."""

from django import template

from collection.core.drawing.ladder import Ladder

register = template.Library()


@register.inclusion_tag("_parts/draw/ladder.html")
def date_ladder(drawn: Ladder) -> dict[str, object]:
    """Each dated part and document as a bar on a line of years, with the bounds."""
    return {"drawn": drawn}

"""Words on the pages of papers."""

from collections.abc import Mapping
from datetime import date

from django import template
from django.template import RequestContext

from collection.core.ranges import in_ranges as ranges
from collection.papers.borders.queries import alarm
from collection.road.models import Tour

register = template.Library()


@register.filter
def of_code(names: Mapping[str, str], code: str) -> str:
    """The name behind a member's code; the code where nobody has it."""
    return names.get(code, code)


@register.filter
def in_ranges(numbers: list[int]) -> str:
    """'12–15, 18' of numbers."""
    return ranges(numbers)


@register.inclusion_tag("papers/borders/_alarm.html", takes_context=True)
def border_alarm(context: RequestContext, tour: Tour, today: date) -> dict[str, object]:
    """What a border asks for on a day of a tour; nothing on other days, or for who only looks."""
    request = context["request"]
    shown = alarm(tour, today=today) if request.membership.records else None
    return {"alarm": shown, "tour": tour, "slug": request.collection.slug}

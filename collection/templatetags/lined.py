"""Where a line of a sheet leads."""

from django import template
from django.template.context import RequestContext
from django.urls import reverse

from collection.desk.checklists.line import Line
from collection.desk.lined import Item

register = template.Library()


@register.simple_tag(takes_context=True)
def leads_to(context: RequestContext, item: Item | Line) -> str:
    """The address of what a line is about, '' where it leads nowhere."""
    if not item.link:
        return ""
    name, *codes = item.link
    return reverse(name, args=[context["request"].collection.slug, *codes])

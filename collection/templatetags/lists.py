"""The way from a list to its file."""

from django import template
from django.http import QueryDict
from django.template.context import RequestContext
from django.urls import reverse
from django.utils.html import format_html
from django.utils.safestring import SafeString

register = template.Library()
PAGES_ONLY = ("page", "view", "below")  # what only says how the page shows it


@register.simple_tag(takes_context=True)
def as_csv(context: RequestContext, name: str) -> SafeString:
    """A link to a list as a file, narrowed as the page is."""
    request = context["request"]
    query: QueryDict = request.GET.copy()
    for key in PAGES_ONLY:
        query.pop(key, None)
    address = reverse("desk:list_as_csv", args=[request.collection.slug, name])
    tail = f"?{query.urlencode()}" if query else ""
    return format_html('<a class="go" href="{}{}" download>As a file (CSV)</a>', address, tail)

"""Pages of the book."""

from django.core.exceptions import ValidationError
from django.http import HttpRequest, HttpResponse
from django.utils import timezone
from django.utils.html import escape
from django.views.decorators.http import require_GET

from collection.ledger.forms import read_when, reading


@require_GET
def read_date(request: HttpRequest, slug: str = "") -> HttpResponse:
    """Echo how a date as typed is read, or why it cannot be."""
    text = request.GET.get("when", "")[:60]
    try:
        happened = read_when(text, collection=request.collection, now=timezone.now())
    except ValidationError as error:
        return HttpResponse(escape(error.message))
    return HttpResponse(escape(f"Read as {reading(happened)}"))

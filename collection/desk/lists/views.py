"""Lists as files, and the page that names them all."""

from django.http import Http404, HttpRequest, HttpResponse, StreamingHttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from collection.desk.lists import gear, insured, work
from collection.desk.lists.listing import Asked, as_csv
from collection.desk.packing.listing import PACKING
from registry import clock

LISTINGS = {
    one.name: one
    for one in (
        gear.PIECES, gear.PLACES, gear.PARTIES, gear.LOANS, work.LOTS, work.PARTS, work.DUE_WORK,
        work.FAULTS, work.JOBS, work.BOOK,
        gear.AS_OF, PACKING, insured.INSURED,
    )
}  # fmt: skip


@require_safe
def lists(request: HttpRequest) -> HttpResponse:
    """Every list that can be had as a file, with the columns this member may have."""
    shown = [(one, one.shown_to(request.membership)) for one in LISTINGS.values()]
    return render(request, "desk/lists.html", {"lists": shown})


@require_safe
def list_as_csv(request: HttpRequest, list: str) -> StreamingHttpResponse:
    """One list as CSV, narrowed as its page is by the same query."""
    listing = LISTINGS.get(list)
    if listing is None:
        raise Http404("There is no list of that name.")
    today = clock.today(request.collection.zone_info)
    asked = Asked(request.membership, request.GET, today)
    answer = StreamingHttpResponse(as_csv(listing, asked), content_type="text/csv; charset=utf-8")
    name = f"{request.collection.slug}-{listing.name}-{today:%Y-%m-%d}.csv"
    answer["Content-Disposition"] = f'attachment; filename="{name}"'
    answer["Cache-Control"] = "private, no-store"
    answer["X-Content-Type-Options"] = "nosniff"
    return answer

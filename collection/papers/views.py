"""Papers that leave the house."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_safe

from collection.core.notice_phrases import PHRASES, language_of
from collection.custody.queries import incidents
from collection.custody.whereabouts import whereabouts
from collection.papers.theft import sheets as theft
from collection.papers.theft.ownership import ownership_of
from collection.papers.theft.scene import country_of
from collection.papers.theft.views import a_press
from registry.access.gate import needs
from registry.access.roles import Role


@needs(Role.TECHNICIAN)
@require_safe
def notice(request: HttpRequest, incident: str) -> HttpResponse:
    """The notice of a theft, one page to print."""
    row = get_object_or_404(incidents(request.collection), code=incident)
    sheet = theft.notice_of(row, whereabouts(request.membership))
    context = {
        "notice": sheet,
        "incident": row,
        "refusals": theft.refusals(row),
        "languages": PHRASES.values(),
        "spoken": language_of(country_of(row)),
        "once": a_press(),
    }
    return render(request, "papers/notice.html", context)


@needs(Role.TECHNICIAN)
@require_safe
def officer(request: HttpRequest, incident: str) -> HttpResponse:
    """The officer's sheet of a theft, with the owner's marks."""
    row = get_object_or_404(incidents(request.collection), code=incident)
    sheet = theft.officer_of(row, whereabouts(request.membership))
    proofs = ownership_of([line.piece for line in sheet.rows], request.membership)
    context = {"officer": sheet, "incident": row, "proofs": proofs, "once": a_press()}
    return render(request, "papers/officer.html", context)

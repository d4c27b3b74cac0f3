"""The Object ID sheet: a page, and a paper."""

import secrets

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_http_methods

from collection.catalogue.queries import pieces
from collection.core.object_id import KEEP_SECURE
from collection.papers.dossier.views import paper_answer
from collection.papers.object_id.actions import make_sheet
from collection.papers.object_id.queries import object_id_of
from registry import clock
from registry.access.gate import needs
from registry.access.roles import Role


@require_http_methods(["GET", "HEAD", "POST"])
@needs(Role.TECHNICIAN)
def sheet(request: HttpRequest, code: str) -> HttpResponse:
    """Every heading of one piece; sent, it is answered with the sheet as PDF."""
    piece = get_object_or_404(pieces(request.collection), code=code)
    today = clock.today(request.collection.zone_info)
    found = object_id_of(piece, request.membership, today=today)
    if request.method == "POST":
        once = request.POST.get("once", "")[:64]
        pdf = make_sheet(by=request.membership, found=found, now=clock.now(), once=once)
        return paper_answer(pdf, f"object-id-{piece.code}-{today:%Y-%m-%d}.pdf")
    context = {"found": found, "piece": piece, "keep": KEEP_SECURE, "once": secrets.token_hex(16)}
    return render(request, "papers/object_id/sheet.html", context)

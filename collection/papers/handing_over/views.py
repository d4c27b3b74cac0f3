"""The page on which a piece is handed over for good."""

import secrets

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods

from collection.catalogue.queries import pieces
from collection.ledger.errors import LedgerError
from collection.papers.dossier.forms import pressed_again
from collection.papers.dossier.queries import shows_of
from collection.papers.handing_over import actions
from collection.papers.handing_over.forms import HandOverForm
from collection.papers.handing_over.queries import before
from registry import clock
from registry.access.gate import needs
from registry.access.roles import Role


@never_cache
@require_http_methods(["GET", "HEAD", "POST"])
@needs(Role.KEEPER)
def hand_over(request: HttpRequest, code: str) -> HttpResponse:
    """Say how it leaves and what goes along; sent, it is answered with the papers as ZIP."""
    piece = get_object_or_404(pieces(request.collection), code=code)
    looked, today = before(piece, request.membership), clock.today(request.collection.zone_info)
    ticking = request.method == "POST" and "tick" in request.POST
    data = pressed_again(request.POST, looked.history) if ticking else request.POST or None
    form = HandOverForm(
        data, before=looked, today=today, shows=shows_of(request.collection),
        initial={"once": secrets.token_hex(16)},
    )  # fmt: skip
    sent = request.method == "POST" and not ticking
    if sent and form.is_valid() and (packed := _handed(request, piece, form)):
        return _zip(packed, f"{piece.code}-handed-over-{today:%Y-%m-%d}.zip")
    context = {"piece": piece, "before": looked, "form": form, "ticking": ticking}
    status = 422 if sent else 200
    return render(request, "papers/handing_over/hand_over.html", context, status=status)


def _handed(request: HttpRequest, piece, form: HandOverForm) -> bytes:
    try:
        return actions.hand_over(
            piece=piece, by=request.membership, handing=form.handing(), now=clock.now()
        )
    except LedgerError as refused:
        form.add_error(None, str(refused))
        return b""


def _zip(packed: bytes, name: str) -> HttpResponse:
    answer = HttpResponse(packed, content_type="application/zip")
    answer["Content-Disposition"] = f'attachment; filename="{name}"'
    answer["Cache-Control"] = "private, no-store"
    return answer

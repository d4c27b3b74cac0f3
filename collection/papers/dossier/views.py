"""Pages of dossiers: choose and make one, papers that were made."""

import secrets

from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_http_methods, require_safe

from collection.catalogue.queries import pieces
from collection.custody.whereabouts import whereabouts
from collection.papers.dossier import actions, queries
from collection.papers.dossier.forms import ChooseForm, pressed_again
from collection.papers.sharing.views import share_dossier
from registry import clock
from registry.access.gate import needs
from registry.access.queries import member_names
from registry.access.roles import Role

A_PAGE = 50


@require_http_methods(["GET", "HEAD", "POST"])
@needs(Role.TECHNICIAN)
def dossier(request: HttpRequest, code: str) -> HttpResponse:
    """Choose what a dossier shows; sent, it is answered with the paper itself."""
    piece = get_object_or_404(pieces(request.collection), code=code)
    history = queries.history_of(piece, request.membership, whereabouts(request.membership))
    shows = queries.shows_of(request.collection)
    ticking = request.method == "POST" and "tick" in request.POST
    data = pressed_again(request.POST, history) if ticking else request.POST or None
    form = ChooseForm(data, history=history, shows=shows, initial={"once": secrets.token_hex(16)})
    if request.method == "POST" and not ticking and form.is_valid():
        once = form.cleaned_data["once"]
        made = actions.make_dossier(
            by=request.membership, chosen=form.chosen(), now=clock.now(), once=once
        )
        if "share" in request.POST:
            return share_dossier(request, form.chosen(), made.pdf, once)
        return paper_answer(made.pdf, f"dossier-{piece.code}-{made.record.made_at:%Y-%m-%d}.pdf")
    wrong = request.method == "POST" and not ticking
    context = {"piece": piece, "form": form, "ticking": ticking}
    return render(request, "papers/dossier/choose.html", context, status=422 if wrong else 200)


@require_safe
@needs(Role.TECHNICIAN)
def made(request: HttpRequest) -> HttpResponse:
    """Papers that were made: what, for whom, by whom, which entries, the hash of the file."""
    found = Paginator(queries.papers_made(request.collection), A_PAGE)
    page = found.get_page(request.GET.get("page"))
    context = {"page": page, "who": member_names(request.collection)}
    return render(request, "papers/made.html", context)


def paper_answer(pdf: bytes, name: str) -> HttpResponse:
    """A paper as a download that nobody on the way keeps."""
    answer = HttpResponse(pdf, content_type="application/pdf")
    answer["Content-Disposition"] = f'attachment; filename="{name}"'
    answer["Cache-Control"] = "private, no-store"
    return answer

"""Pages for members: make a link to a paper or piece, all links, take one back."""

import secrets

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from collection.ledger.models import Subject
from collection.papers.dossier.choice import Chosen
from collection.papers.dossier.private import VALUE
from collection.papers.sharing import actions, queries
from collection.papers.sharing.forms import WHO, ShareForm
from collection.papers.sharing.refused import HandingRefused
from collection.papers.sharing.shareable import Order, shareable_of
from registry import clock
from registry.access.gate import needs
from registry.access.models import ShareLink
from registry.access.queries import member_names
from registry.access.roles import Role

A_PAGE = 50


@never_cache
@require_http_methods(["GET", "HEAD", "POST"])
@needs(Role.TECHNICIAN)
def share(request: HttpRequest, code: str) -> HttpResponse:
    """Choose what a link opens; sent, it is made and shown once."""
    subject = get_object_or_404(queries.subjects(request.collection), code=code)
    papers = shareable_of(subject.kind)
    if not papers:
        raise Http404("Nothing of this can be handed out by a link.")
    start = {"once": secrets.token_hex(16), "paper": request.GET.get("paper") or next(iter(papers))}
    form = ShareForm(request.POST or None, papers=papers, initial=start)
    if request.method == "POST" and form.is_valid() and (made := _made(request, form, subject)):
        return made
    of = queries.links(request.collection, code=code)
    context = {"form": form, "subject": subject, "for_whom": WHO, "links": of, "now": clock.now()}
    status = 422 if form.is_bound else 200
    return render(request, "papers/sharing/share.html", context, status=status)


def _made(request: HttpRequest, form: ShareForm, subject: Subject) -> HttpResponse | None:
    given = form.cleaned_data
    order = Order(
        subject, request.membership, clock.now(), form.label,
        values=given.get("values", False), once=given["once"],
    )  # fmt: skip
    try:
        made = actions.hand_out(paper=form.chosen, order=order, days=given["days"])
    except HandingRefused as refused:
        return form.add_error("paper", str(refused))
    return _shown_once(request, made)


def share_dossier(request: HttpRequest, chosen: Chosen, pdf: bytes, once: str) -> HttpResponse:
    """A link to a dossier whose entries somebody chose one by one."""
    made = actions.keep(
        paper=shareable_of("piece")["dossier"],
        subject=chosen.history.piece.subject,
        by=request.membership,
        pdf=pdf,
        terms=actions.Terms(chosen.choice.for_whom or "somebody else", 7, f"{once}-link"[:64]),
        now=clock.now(),
        values=any(VALUE in line.private for line in chosen.lines),
    )
    return _shown_once(request, made)


def _shown_once(request: HttpRequest, made: tuple[ShareLink, str] | None) -> HttpResponse:
    """The page with a link's address, which is kept nowhere."""
    if made is None:
        messages.warning(request, "This press made a link already; its address was shown once.")
        return redirect("papers:links", request.collection.slug)
    link, token = made
    address = request.build_absolute_uri(reverse("shared:page", args=[token]))
    context = {"link": link, "paper": link.shared_paper, "address": address}
    return render(request, "papers/sharing/made.html", context)


@require_safe
@needs(Role.TECHNICIAN)
def links(request: HttpRequest) -> HttpResponse:
    """Every link that was handed out: open or over, how often opened and when."""
    found = Paginator(queries.links(request.collection), A_PAGE)
    context = {
        "page": found.get_page(request.GET.get("page")),
        "now": clock.now(),
        "who": member_names(request.collection),
    }
    return render(request, "papers/sharing/links.html", context)


@require_POST
@needs(Role.TECHNICIAN)
def end(request: HttpRequest, share: int) -> HttpResponse:
    """Take a link back: it opens nothing any more."""
    link = get_object_or_404(queries.links(request.collection), pk=share)
    actions.take_back(link, now=clock.now())
    messages.success(request, f"The link for {link.label} opens nothing any more.")
    return redirect("papers:links", request.collection.slug)

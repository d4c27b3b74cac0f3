"""Pages of labels: what, on which sheet, the sheet itself; and the contact on tags."""

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_POST, require_safe

from collection.custody.whereabouts import whereabouts
from collection.papers.labels.forms import ContactForm, LabelsForm
from collection.papers.labels.sheet import pdf
from registry import clock
from registry.access.actions import set_finder_contact
from registry.access.gate import needs
from registry.access.roles import Role

LOCAL = ("localhost", "127.", "[::1]")


@never_cache
@require_safe
@needs(Role.TECHNICIAN)
def labels(request: HttpRequest) -> HttpResponse:
    """Choose what is printed and on which sheet; with a choice made, what will be on it."""
    return _page(request, _form(request))


@never_cache
@require_safe
@needs(Role.TECHNICIAN)
def sheet(request: HttpRequest) -> HttpResponse:
    """The sheets as a PDF; a choice that cannot be printed comes back with its reasons."""
    form = _form(request)
    if not form.is_bound or not form.is_valid():
        return _page(request, form)
    made = pdf(form, contact=request.collection.finder_contact, made_at=clock.now())
    answer = HttpResponse(made, "application/pdf")
    answer["Content-Disposition"] = 'inline; filename="labels.pdf"'
    return answer


@require_POST
@needs(Role.KEEPER)
def contact(request: HttpRequest) -> HttpResponse:
    """Say whom a finder rings."""
    form = ContactForm(request.POST, collection=request.collection)
    if not form.is_valid():
        return _page(request, _form(request), contact=form)
    set_finder_contact(request.collection, contact=form.cleaned_data["contact"])
    messages.success(request, "Kept: the next tags say so, and the page a finder sees.")
    return redirect("papers:labels", request.collection.slug)


def _form(request: HttpRequest) -> LabelsForm:
    chosen = request.GET if "kind" in request.GET else None
    start = {name: request.GET[name] for name in ("codes", "place") if name in request.GET}
    return LabelsForm(
        chosen, initial=start, collection=request.collection,
        known=whereabouts(request.membership), absolute=request.build_absolute_uri,
    )  # fmt: skip


def _page(request: HttpRequest, form: LabelsForm, **more: Any) -> HttpResponse:
    ready = form.is_bound and form.is_valid()
    context = {
        "form": form,
        "ready": ready,
        "contact": ContactForm(collection=request.collection),
        "address": request.build_absolute_uri("/"),
        "local": request.get_host().startswith(LOCAL),
        "chosen": request.GET.urlencode(),
    }
    return render(request, "papers/labels/labels.html", context | more)

"""The page on which a keeper chooses who gets each month's seal."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_POST

from collection.desk.monthly import actions, queries
from collection.desk.monthly.forms import ReaderForm
from registry.access.gate import needs
from registry.access.roles import Role


@needs(Role.KEEPER)
@require_http_methods(["GET", "HEAD", "POST"])
def monthly(request: HttpRequest) -> HttpResponse:
    """Who gets each month's seal, with what, and what was sent."""
    form = ReaderForm(request.POST or None, collection=request.collection)
    if form.is_valid():
        actions.choose_reader(
            collection=request.collection, by=request.membership, **form.cleaned_data
        )
        messages.success(request, "Kept. The first letter goes with the next daily run.")
        return redirect("desk:monthly", request.collection.slug)
    context = {"form": form, "readers": queries.readers(request.collection)}
    context["letters"] = queries.letters_out(request.collection)[:24]
    return render(request, "desk/monthly.html", context, status=422 if form.errors else 200)


@needs(Role.KEEPER)
@require_POST
def end_monthly(request: HttpRequest, party: str) -> HttpResponse:
    """Send this person or firm no more seals."""
    reader = get_object_or_404(queries.readers(request.collection), party__code=party)
    actions.end_reader(reader)
    messages.success(request, f"{reader.party.name} gets no more letters.")
    return redirect("desk:monthly", request.collection.slug)

"""The page on which a keeper erases a person or firm."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods

from collection.custody.queries import parties
from collection.desk.erasure.actions import erase_party
from collection.desk.erasure.forms import EraseForm
from collection.desk.erasure.queries import standing_of
from collection.ledger.telling import Telling
from registry.access.gate import needs
from registry.access.roles import Role


@needs(Role.KEEPER)
@require_http_methods(["GET", "HEAD", "POST"])
def erase(request: HttpRequest, party: str) -> HttpResponse:
    """Take out what is kept of a person or firm; their code stays."""
    row = get_object_or_404(parties(request.collection).select_related("subject"), code=party)
    found = standing_of(row)
    form = EraseForm(request.POST or None, said=found.words)
    if form.is_valid():
        given = form.cleaned_data
        telling = Telling(once=given["once"] or None)
        chosen = {"because": given["because"], "entries": given.get("entries", ())}
        erase_party(party=row, by=request.membership, telling=telling, **chosen)
        messages.success(request, f"{party}: what was kept of them is gone; the code stays.")
        return redirect("custody:party", request.collection.slug, party)
    context = {"form": form, "party": row, "found": found}
    return render(request, "desk/erase_party.html", context, status=422 if form.errors else 200)

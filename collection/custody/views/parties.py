"""Pages of the people and firms that have and own things."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_safe

from collection.custody import actions, queries
from collection.custody.forms import PartyForm
from collection.custody.whereabouts import whereabouts
from registry.access.gate import needs
from registry.access.roles import Role


@require_safe
def parties(request: HttpRequest) -> HttpResponse:
    """People and firms, with how much each has and owns."""
    counts = queries.holders(request.collection)
    rows = [(party, *counts.get(party.pk, (0, 0))) for party in queries.parties(request.collection)]
    return render(request, "custody/parties.html", {"rows": rows})


@require_safe
def party(request: HttpRequest, party: str) -> HttpResponse:
    """One person or firm: what they have and what they own."""
    row = get_object_or_404(queries.parties(request.collection), code=party)
    known = whereabouts(request.membership)
    context = {"party": row, "has": queries.kept_by(row, known)}
    context["owns"] = queries.owned_by(row, known)
    return render(request, "custody/party.html", context)


@needs(Role.TECHNICIAN)
def add_party(request: HttpRequest) -> HttpResponse:
    """Add a person or firm."""
    form = PartyForm(request.POST or None)
    if form.is_valid():
        added = actions.add_party(
            collection=request.collection, by=request.membership, **form.cleaned_data
        )
        messages.success(request, f"{added.code} {added.name}: kept.")
        return redirect("custody:party", request.collection.slug, added.code)
    return render(request, "custody/party_form.html", {"form": form, "title": "Add"})


@needs(Role.TECHNICIAN)
def edit_party(request: HttpRequest, party: str) -> HttpResponse:
    """Change what is known of a person or firm."""
    row = get_object_or_404(queries.parties(request.collection), code=party)
    start = {name: getattr(row, name) for name in PartyForm.base_fields if hasattr(row, name)}
    form = PartyForm(request.POST or None, initial=start)
    if form.is_valid():
        actions.change_party(party=row, by=request.membership, **form.cleaned_data)
        messages.success(request, f"{row.code} {row.name}: kept.")
        return redirect("custody:party", request.collection.slug, row.code)
    context = {"form": form, "title": f"Change {row.code}"}
    return render(request, "custody/party_form.html", context)

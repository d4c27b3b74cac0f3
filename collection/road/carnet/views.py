"""A keeper sets the carnet rule aside for a piece, or heeds it again."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render

from collection.road import queries
from collection.road.carnet import actions
from collection.road.carnet.forms import SetAsideForm
from collection.road.carnet.queries import set_aside_for
from registry.access.gate import needs
from registry.access.roles import Role


@needs(Role.KEEPER)
def carnet_rule(request: HttpRequest, tour: str, code: str) -> HttpResponse:
    """Set the rule aside with a reason; pressed again, it counts again."""
    found = get_object_or_404(queries.tour(request.collection), code=tour)
    piece = get_object_or_404(queries.pieces(request.collection), code=code)
    known = set_aside_for(found).get(piece.pk)
    form = SetAsideForm(
        request.POST or None, collection=request.collection, member=request.membership
    )
    if request.method == "POST" and form.is_valid():
        act = actions.heed_again if known else actions.set_aside
        told = {"by": request.membership, "tour": found, "piece": piece}
        act(**told, because=form.cleaned_data["because"], telling=form.telling())
        messages.success(request, f"{piece.code}: written into the book.")
        return redirect("road:tour", request.collection.slug, found.code)
    seen = {"form": form, "tour": found, "piece": piece, "known": known}
    return render(request, "road/carnet/rule.html", seen)

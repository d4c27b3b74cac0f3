"""The page on which a keeper takes a photo out."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods

from collection.catalogue import queries
from collection.catalogue.photo_removal import take_out_photo
from collection.ledger.redaction.forms import TakeOutForm
from collection.ledger.telling import Telling
from registry.access.gate import needs
from registry.access.roles import Role


@needs(Role.KEEPER)
@require_http_methods(["GET", "HEAD", "POST"])
def take_out(request: HttpRequest, photo: int) -> HttpResponse:
    """Take a photo out: the bytes go, the hash stays."""
    found = get_object_or_404(queries.photos(request.collection, request.membership), pk=photo)
    form = TakeOutForm(request.POST or None)
    if form.is_valid():
        take_out_photo(
            photo=found,
            by=request.membership,
            because=form.cleaned_data["because"],
            telling=Telling(once=form.cleaned_data["once"] or None),
        )
        messages.success(request, "The photo is gone; its SHA-256 stays in the book.")
        return redirect("catalogue:photos", request.collection.slug, found.subject.code)
    context = {"form": form, "photo": found}
    status = 422 if form.errors else 200
    return render(request, "catalogue/photo_take_out.html", context, status=status)

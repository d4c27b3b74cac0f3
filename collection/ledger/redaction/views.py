"""The page on which a keeper takes words out of an entry."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods

from collection.ledger import queries
from collection.ledger.errors import LedgerError
from collection.ledger.lines import named
from collection.ledger.naming import naming_for
from collection.ledger.redaction.actions import take_out_words
from collection.ledger.redaction.forms import TakeOutForm
from collection.ledger.telling import Telling
from registry.access.gate import needs
from registry.access.roles import Role


@needs(Role.KEEPER)
@require_http_methods(["GET", "HEAD", "POST"])
def take_out(request: HttpRequest, entry: int) -> HttpResponse:
    """Take the words and the note of the source out of an entry; the leaf stays."""
    event = get_object_or_404(queries.events(request.collection), sequence=entry)
    form = TakeOutForm(request.POST or None)
    if form.is_valid():
        telling = Telling(once=form.cleaned_data["once"] or None)
        because = form.cleaned_data["because"]
        try:
            take_out_words(event=event, by=request.membership, because=because, telling=telling)
        except LedgerError as error:
            form.add_error(None, str(error))
        else:
            messages.success(request, f"The words of entry {entry} are gone; its leaf stays.")
            return redirect("ledger:entry", request.collection.slug, entry)
    naming = naming_for(request.membership)
    context = {"form": form, "shown": named(queries.told([event]), naming)[0]}
    return render(request, "ledger/take_out.html", context, status=422 if form.errors else 200)

"""The page of lives of one type."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods

from collection.stock import actions
from collection.stock.lifetimes.forms import LivesFromForm
from collection.stock.lifetimes.pages import lives_page
from collection.stock.views.types import prospect_of


@require_http_methods(["GET", "HEAD", "POST"])
def lifetimes(request: HttpRequest, type: str) -> HttpResponse:
    """How long they lived; a POST stores whose lives the forecast is taken from."""
    prospect = prospect_of(request, type)
    if request.method != "POST":
        context = lives_page(prospect, request.GET.get("lives_from", ""))
        return render(request, "stock/lifetimes.html", context)
    form = LivesFromForm(request.POST)
    if not form.is_valid():
        context = lives_page(prospect, "") | {"form": form}
        return render(request, "stock/lifetimes.html", context, status=422)
    actions.set_outlook(
        collection=request.collection, by=request.membership, type=prospect.stock.outlook_type,
        **form.cleaned_data,
    )  # fmt: skip
    messages.success(request, f"Stored: whose lives speak for {prospect.stock.name}.")
    return redirect("stock:lifetimes", request.collection.slug, type)

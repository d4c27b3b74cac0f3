"""The table of mains by country."""

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_POST, require_safe

from collection.road.mains import actions, queries
from collection.road.mains.forms import CountryForm, SupplyForm
from registry import clock
from registry.access.gate import needs
from registry.access.roles import Role


@require_safe
def table(request: HttpRequest) -> HttpResponse:
    """Volts and hertz of every country, with source and date."""
    form = CountryForm(request.GET if "country" in request.GET else None)
    if form.is_bound and form.is_valid():
        return redirect("road:supply", request.collection.slug, form.cleaned_data["country"])
    own = queries.own_countries(request.collection)
    lines = [
        (supply, supply.country in own) for supply in queries.table(request.collection).values()
    ]
    return render(request, "road/mains/table.html", {"lines": lines, "form": form})


@needs(Role.TECHNICIAN)
def supply(request: HttpRequest, country: str) -> HttpResponse:
    """Write the collection's own line for a country."""
    if len(country) != 2 or not country.isalpha():
        raise Http404("A country is two letters, such as NO.")
    found = queries.supply_of(request.collection, country)
    start = {"as_of": clock.today(request.collection.zone_info)}
    start |= {"volts": found.volts, "hertz": found.hertz, "source": found.source} if found else {}
    form = SupplyForm(request.POST or None, initial=start)
    if request.method == "POST" and form.is_valid():
        actions.write_supply(collection=request.collection, country=country, **form.cleaned_data)
        messages.success(request, f"{country.upper()}: new shows start with this.")
        return redirect("road:mains", request.collection.slug)
    own = country.upper() in queries.own_countries(request.collection)
    seen = {"form": form, "country": country.upper(), "own": own}
    return render(request, "road/mains/supply.html", seen)


@require_POST
def as_in_the_table(request: HttpRequest, country: str) -> HttpResponse:
    """The table of the site counts again."""
    actions.as_in_the_table(collection=request.collection, country=country)
    return redirect("road:mains", request.collection.slug)

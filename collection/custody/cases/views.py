"""Pages of cases: the list, what belongs in one, packing it."""

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods, require_safe

from collection.custody.cases import queries
from collection.custody.cases.forms import PackForm, PackingListForm
from collection.custody.models import Place
from collection.custody.whereabouts import Whereabouts, whereabouts
from registry.access.gate import needs
from registry.access.roles import Role


@require_safe
def cases(request: HttpRequest) -> HttpResponse:
    """Every case: what is in it of what belongs in it, its kit, its mass, where it is."""
    known = whereabouts(request.membership)
    found = queries.all_cases(request.collection, known)
    rows = [(one, known.words(one.place.inside_id)) for one in found]
    return render(request, "custody/cases/cases.html", {"rows": rows})


@require_http_methods(["GET", "HEAD", "POST"])
@needs(Role.TECHNICIAN)
def pack(request: HttpRequest, place: str) -> HttpResponse:
    """Tick what is in the open case; one press writes all of it."""
    known = whereabouts(request.membership)
    contents = queries.contents(_case(known, place), known)
    form = PackForm(
        request.POST or None,
        contents=contents,
        collection=request.collection,
        member=request.membership,
    )
    if form.is_bound and form.is_valid():
        event = form.act()
        messages.success(request, f"{place}: {event.words}")
        return redirect("custody:place", request.collection.slug, place)
    context = {"form": form, "contents": contents, "place": contents.place}
    status = 422 if form.is_bound else 200
    return render(request, "custody/cases/pack.html", context, status=status)


@require_http_methods(["GET", "HEAD", "POST"])
@needs(Role.TECHNICIAN)
def packing_list(request: HttpRequest, place: str) -> HttpResponse:
    """Change what belongs in a case."""
    known = whereabouts(request.membership)
    contents = queries.contents(_case(known, place), known)
    form = PackingListForm(
        request.POST or None, member=request.membership, initial=_as_typed(contents)
    )
    if form.is_bound and form.is_valid():
        form.keep(contents.place)
        messages.success(request, f"{place}: the packing list is kept.")
        return redirect("custody:place", request.collection.slug, place)
    context = {"form": form, "place": contents.place}
    status = 422 if form.is_bound else 200
    return render(request, "custody/cases/packing_list.html", context, status=status)


def _as_typed(contents: queries.Contents) -> dict[str, object]:
    sheet = contents.sheet
    weighed = sheet is not None and sheet.tare_grams is not None
    return {
        "pieces": "\n".join(one.piece.code for one in contents.belonging),
        "kit": "\n".join(str(line) for line in contents.kit),
        "tare": f"{sheet.tare_grams / 1000:g}" if weighed else "",
        "size": sheet.size if sheet else "",
    }


def _case(known: Whereabouts, code: str) -> Place:
    place = known.by_code.get(code)
    if place is None or place.kind != Place.Kind.CASE or known.hidden(place.pk):
        raise Http404("No such case.")
    return place

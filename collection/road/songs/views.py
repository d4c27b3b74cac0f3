"""Songs, set lists, and the grid that lies at the work station."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_safe

from collection.road import queries as road
from collection.road.needs import positions_of
from collection.road.overrides.queries import apply
from collection.road.songs import actions, queries
from collection.road.songs.forms import SetListForm, SongForm
from registry.access.gate import needs
from registry.access.roles import Role


@require_safe
def songs(request: HttpRequest) -> HttpResponse:
    """Every song and what it is played on."""
    return render(request, "road/songs/songs.html", {"songs": queries.songs(request.collection)})


@needs(Role.TECHNICIAN)
def add_song(request: HttpRequest) -> HttpResponse:
    """Add a song."""
    form = SongForm(request.POST or None, collection=request.collection)
    if request.method == "POST" and form.is_valid():
        actions.add_song(collection=request.collection, **form.cleaned_data)
        return redirect("road:songs", request.collection.slug)
    return render(request, "road/songs/song.html", {"form": form, "title": "A song"})


@needs(Role.TECHNICIAN)
def song(request: HttpRequest, song: str) -> HttpResponse:
    """Change a song."""
    found = get_object_or_404(queries.songs(request.collection), code=song)
    start = {"title": found.title, "note": found.note}
    start["instruments"] = [piece.code for piece in found.instruments.all()]
    form = SongForm(request.POST or None, collection=request.collection, initial=start)
    if request.method == "POST" and form.is_valid():
        actions.change_song(song=found, **form.cleaned_data)
        return redirect("road:songs", request.collection.slug)
    return render(request, "road/songs/song.html", {"form": form, "title": found.title})


@needs(Role.TECHNICIAN)
def tour_set_list(request: HttpRequest, tour: str) -> HttpResponse:
    """The set list of a tour."""
    found = get_object_or_404(road.tour(request.collection), code=tour)
    lines, _ = queries.set_list(found, None)
    form = SetListForm(request.POST or None, initial={"titles": [x.song.title for x in lines]})
    if request.method == "POST" and form.is_valid():
        actions.write_set_list(tour=found, **form.cleaned_data)
        return redirect("road:tour", request.collection.slug, found.code)
    return render(request, "road/songs/set_list.html", {"form": form, "tour": found})


@needs(Role.TECHNICIAN)
def show_set_list(request: HttpRequest, show: str) -> HttpResponse:
    """The set list of one show; emptied, it plays the tour's again."""
    found = get_object_or_404(road.shows(request.collection), code=show)
    lines, own = queries.set_list(found.tour, found)
    form = SetListForm(request.POST or None, initial={"titles": [x.song.title for x in lines]})
    if request.method == "POST" and form.is_valid():
        actions.write_set_list(tour=found.tour, show=found, **form.cleaned_data)
        return redirect("road:grid", request.collection.slug, found.code)
    seen = {"form": form, "tour": found.tour, "show": found, "own": own}
    return render(request, "road/songs/set_list.html", seen)


@require_safe
def grid(request: HttpRequest, show: str) -> HttpResponse:
    """Set list against instruments, in type for a dark stage; in the dark unless chosen."""
    found = get_object_or_404(road.shows(request.collection), code=show)
    lines, own = queries.set_list(found.tour, found)
    positions = apply(positions_of(found.tour), found)
    seen = {"show": found, "grid": queries.grid(lines, positions, own=own)}
    seen["light"] = request.COOKIES.get("light") or "stage"
    return render(request, "road/songs/grid.html", seen)

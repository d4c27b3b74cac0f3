"""Photos: kept, shown behind the gate, handed out as they came."""

from pathlib import Path

from django.conf import settings
from django.contrib import messages
from django.http import FileResponse, Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_safe

from collection.catalogue import actions, queries
from collection.catalogue.forms import PhotoForm
from collection.catalogue.models import Photo
from collection.catalogue.photo.derive import SIZES
from collection.catalogue.photo.keep import PhotoDamaged, original_path
from collection.catalogue.photo.shown import shown
from registry.access.gate import needs
from registry.access.roles import Role

LOST = "The file of this photo is gone or has changed; restore it from a backup."
# A picture never changes: its bytes hang on the hash of the original.
KEPT_BY_THE_BROWSER = "private, max-age=31536000, immutable"


@require_safe
def photos(request: HttpRequest, code: str) -> HttpResponse:
    """All photos of a piece."""
    piece = get_object_or_404(queries.pieces(request.collection), code=code)
    found = queries.photos_of(piece.subject, request.membership)
    gone = queries.photos_taken_out(piece.subject)
    return render(request, "catalogue/photos.html", {"piece": piece, "photos": found, "gone": gone})


@needs(Role.TECHNICIAN)
def add_photo(request: HttpRequest, code: str) -> HttpResponse:
    """One more photo of a piece."""
    piece = get_object_or_404(queries.pieces(request.collection), code=code)
    form = PhotoForm(request.POST or None, request.FILES or None)
    if form.is_valid():
        given = dict(form.cleaned_data)
        kept = actions.add_photo(
            collection=request.collection,
            by=request.membership,
            subject=piece.subject,
            data=given.pop("photo"),
            **given,
        )
        gone = "This very photo was taken out before; it is not kept again."
        messages.info(request, gone if kept.taken_out_at else f"The photo of {piece.code} is kept.")
        return redirect("desk:piece", request.collection.slug, piece.code)
    return render(request, "catalogue/photo_form.html", {"form": form, "piece": piece})


@require_safe
def photo(request: HttpRequest, photo: int, size: str) -> FileResponse:
    """A picture made from the original: pixels and nothing else."""
    found = get_object_or_404(queries.photos(request.collection, request.membership), pk=photo)
    if size not in SIZES:
        raise Http404("There is no picture of that size.")
    return _file(_shown_path(request, found, size), "image/jpeg")


@needs(Role.TECHNICIAN)
@require_safe
def photo_original(request: HttpRequest, photo: int) -> FileResponse:
    """The bytes as they came, with whatever the camera wrote into them; as a download."""
    found = get_object_or_404(queries.photos(request.collection, request.membership), pk=photo)
    path = original_path(settings.PHOTOS, request.collection.book, found.sha256)
    name = f"{found.subject.code}-{found.view}-{found.sha256[:8]}.{found.format.lower()}"
    return _file(path, f"image/{found.format.lower()}", name)


def _shown_path(request: HttpRequest, photo: Photo, size: str) -> Path:
    try:
        return shown(settings.PHOTOS, request.collection.book, photo.sha256, size)
    except (FileNotFoundError, PhotoDamaged) as lost:
        raise Http404(LOST) from lost


def _file(path: Path, content_type: str, download: str = "") -> FileResponse:
    try:
        file = path.open("rb")
    except FileNotFoundError as gone:
        raise Http404(LOST) from gone
    answer = FileResponse(
        file, content_type=content_type, filename=download, as_attachment=bool(download)
    )
    answer["Cache-Control"] = "private, no-store" if download else KEPT_BY_THE_BROWSER
    answer["X-Content-Type-Options"] = "nosniff"
    return answer

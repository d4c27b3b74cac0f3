"""What somebody with a link sees: one paper or one piece, read only."""

from collections.abc import Callable
from functools import wraps

from django.conf import settings
from django.http import FileResponse, HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from collection.catalogue.photo.keep import PhotoDamaged
from collection.catalogue.photo.shown import shown
from collection.papers.dossier.views import paper_answer
from collection.papers.sharing import of_piece
from collection.papers.sharing.models import SharedPaper
from collection.papers.sharing.queries import opened_by
from registry import clock
from registry.access.gate import outside_collections
from registry.access.sharing import TooOften, maker_of, refuse_too_often, use


def by_link(view: Callable[..., HttpResponse | None]) -> Callable[..., HttpResponse]:
    """Find what the token opens; whatever opens nothing is answered alike, unindexed, unkept."""

    @outside_collections
    @never_cache
    @require_safe
    @wraps(view)
    def wrapped(request: HttpRequest, token: str, **rest) -> HttpResponse:
        found = opened_by(token, now=clock.now())
        try:
            answer = view(request, found, token, **rest) if found else None
        except TooOften as often:
            answer = _page(request, {"often": str(often)}, status=429)
        answer = answer or _page(request, {}, status=404)
        answer["X-Robots-Tag"] = "noindex, nofollow, noarchive"
        return answer

    return wrapped


@by_link
def page(request: HttpRequest, found: SharedPaper, token: str) -> HttpResponse | None:
    """The piece, or what paper there is to be read."""
    maker = maker_of(found.link)
    use(found.link, now=clock.now())
    context = {"paper": found, "link": found.link, "token": token}
    if found.is_page and maker is not None:
        context["said"] = of_piece.page_of(
            found.subject, maker, values=found.values, now=clock.now()
        )
    return _page(request, context)


@by_link
def paper(request: HttpRequest, found: SharedPaper, token: str) -> HttpResponse | None:
    """The paper itself."""
    if not found.file:
        return None
    use(found.link, now=clock.now())
    return paper_answer(bytes(found.file), found.name)


@by_link
def photo(request: HttpRequest, found: SharedPaper, token: str, nth: int) -> HttpResponse | None:
    """A picture of the piece; it belongs to the opening of its page and is not counted again."""
    maker = maker_of(found.link)
    if not found.is_page or maker is None:
        return None
    refuse_too_often(found.link, now=clock.now())
    photos = of_piece.photos_of(found.subject, maker)
    if nth >= len(photos):
        return None
    try:
        path = shown(settings.PHOTOS, found.collection.book, photos[nth].sha256, "page")
        answer = FileResponse(path.open("rb"), content_type="image/jpeg")
    except (FileNotFoundError, PhotoDamaged):
        return None
    answer["X-Content-Type-Options"] = "nosniff"
    return answer


def _page(request: HttpRequest, context: dict, *, status: int = 200) -> HttpResponse:
    return render(request, "papers/sharing/guest.html", context, status=status)

"""The page on which a keeper carries the collection out."""

from collections.abc import Iterator
from tempfile import TemporaryFile

from django.http import HttpRequest, HttpResponse, StreamingHttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_http_methods

from collection.catalogue.queries import kept_originals
from collection.ledger import proof
from collection.papers.portable.forms import CarryOutForm
from collection.papers.portable.layout import CHUNK
from collection.papers.portable.packing import lost_photos, pack
from registry import clock
from registry.access.gate import needs
from registry.access.roles import Role


@needs(Role.KEEPER)
@require_http_methods(["GET", "HEAD", "POST"])
def carry_out(request: HttpRequest) -> HttpResponse | StreamingHttpResponse:
    """The whole collection as one file: what it holds, and the file itself."""
    lost = lost_photos(request.collection)
    form = CarryOutForm(request.POST if request.method == "POST" else None, lost=bool(lost))
    if form.is_valid():
        now, by = clock.now(), request.membership.code
        with_addresses = form.cleaned_data["with_addresses"]
        parts = _sent(request.collection, now=now, by=by, with_addresses=with_addresses)
        answer = StreamingHttpResponse(parts, content_type="application/zip")
        name = f"{request.collection.slug}-{now:%Y-%m-%d}.zip"
        answer["Content-Disposition"] = f'attachment; filename="{name}"'
        answer["Cache-Control"] = "private, no-store"
        return answer
    size, root = proof.root_of(request.collection)
    context = {"form": form, "size": size, "root": root, "lost": lost}
    context["photos"] = kept_originals(request.collection).count()
    return render(request, "papers/carry_out.html", context, status=422 if form.errors else 200)


def _sent(collection, **how) -> Iterator[bytes]:
    """The file part by part: rows wait on the disk until they fit each other, then photos."""
    with TemporaryFile() as waiting:
        outlet = Outlet(waiting)
        for part in pack(collection, outlet, without_lost=True, **how):
            if not part.endswith(".jsonl"):
                yield from outlet.drained()
        yield from outlet.drained()


class Outlet:
    """What a zip is written to while it is being sent: it cannot be gone back in."""

    def __init__(self, waiting) -> None:
        self.waiting = waiting

    def write(self, data: bytes) -> int:
        """Take some more."""
        return int(self.waiting.write(data))

    def flush(self) -> None:
        """Nothing waits anywhere else."""

    def drained(self) -> Iterator[bytes]:
        """What has been written since it was last asked."""
        self.waiting.seek(0)
        while part := self.waiting.read(CHUNK):
            yield part
        self.waiting.seek(0)
        self.waiting.truncate()

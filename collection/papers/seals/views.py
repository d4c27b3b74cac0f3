"""Pages of seals."""

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse, QueryDict
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods, require_safe

from collection.ledger import proof
from collection.ledger.errors import LedgerError
from collection.ledger.sealing import actions, queries
from collection.ledger.sealing.checking import check
from collection.ledger.telling import Telling
from collection.papers.seals import sheet
from collection.papers.seals.forms import CheckForm, HandOverForm, SealForm
from registry.access.gate import needs
from registry.access.roles import Role

asks_and_writes = require_http_methods(["GET", "HEAD", "POST"])


@require_safe
def seals(request: HttpRequest) -> HttpResponse:
    """Every seal of the book and who has a copy."""
    found = sheet.with_holders(request.collection, queries.seals(request.collection))
    size, root = proof.root_of(request.collection)
    return render(request, "papers/seals/seals.html", {"seals": found, "size": size, "root": root})


@asks_and_writes
@needs(Role.KEEPER)
def seal_book(request: HttpRequest) -> HttpResponse:
    """Seal the book as it is now."""
    form = SealForm(_posted(request), collection=request.collection)
    if form.is_valid():
        given = form.cleaned_data
        telling = Telling(once=given.pop("once") or None)
        try:
            made = actions.seal(
                collection=request.collection, by=request.membership, telling=telling, **given
            )
            messages.success(request, "Sealed. Print it now: on this machine it proves nothing.")
            return redirect("papers:seal", request.collection.slug, made.subject.code)
        except LedgerError as error:
            form.add_error(None, str(error))
    size, _ = proof.root_of(request.collection)
    context = {"form": form, "size": size}
    return render(
        request, "papers/seals/seal_book.html", context, status=422 if form.errors else 200
    )


@require_safe
def seal(request: HttpRequest, seal: str) -> HttpResponse:
    """One seal, large, to print."""
    (one,) = sheet.with_holders(request.collection, [_kept(request, seal)])
    return render(request, "papers/seals/seal.html", {"sealed": one, "proves": sheet.PROVES})


@require_safe
def seal_file(request: HttpRequest, seal: str) -> HttpResponse:
    """One seal as a file that the check reads."""
    kept = _kept(request, seal)
    answer = HttpResponse(sheet.as_json(kept), content_type="application/json")
    answer["Content-Disposition"] = f'attachment; filename="{kept.code.lower()}.json"'
    return answer


@asks_and_writes
@needs(Role.KEEPER)
def hand_over(request: HttpRequest, seal: str) -> HttpResponse:
    """Say who else has a copy of a seal."""
    kept = _kept(request, seal)
    form = HandOverForm(_posted(request), collection=request.collection, but=kept.held_by)
    if form.is_valid():
        given = {name: form.cleaned_data[name] for name in ("held_by", "went_to")}
        actions.hand_over(kept=kept, by=request.membership, **given)
        messages.success(request, "Written down: who has a copy.")
        return redirect("papers:seal", request.collection.slug, kept.code)
    context = {"form": form, "kept": kept}
    return render(
        request, "papers/seals/hand_over.html", context, status=422 if form.errors else 200
    )


@asks_and_writes
@needs(Role.TECHNICIAN)
def check_seal(request: HttpRequest) -> HttpResponse:
    """Check the book as it is now against a seal kept elsewhere."""
    form = CheckForm(_posted(request), request.FILES or None)
    found = check(request.collection, form.read) if form.is_valid() else None
    context = {"form": form, "found": found}
    return render(request, "papers/seals/check.html", context, status=422 if form.errors else 200)


def _posted(request: HttpRequest) -> QueryDict | None:
    """What was sent: pressing without ticking anything is an answer too."""
    return request.POST if request.method == "POST" else None


def _kept(request: HttpRequest, code: str) -> queries.Kept:
    kept = queries.seal_at(request.collection, code)
    if kept is None:
        raise Http404("There is no such seal in this book.")
    return kept

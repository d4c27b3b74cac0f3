"""Check a dossier: for anybody who was handed one, signed in or not."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_http_methods

from collection.papers.checking.forms import CheckForm
from collection.papers.checking.told import told_of
from registry.access.gate import outside_collections


@outside_collections
@require_http_methods(["GET", "HEAD", "POST"])
def dossier(request: HttpRequest) -> HttpResponse:
    """Take a file and a root, say whether the file holds, show what it really says."""
    form = CheckForm(request.POST or None, request.FILES or None)
    sent = request.method == "POST"
    valid = sent and form.is_valid()
    found = form.found if valid else None
    context = {"form": form, "found": found, "told": told_of(found) if found else []}
    status = 422 if sent and not valid else 200
    answer = render(request, "papers/checking/dossier.html", context, status=status)
    answer["X-Robots-Tag"] = "noindex, nofollow, noarchive"
    return answer

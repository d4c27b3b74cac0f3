"""The page a repairer without an account sees by a link: one job and nothing else."""

import secrets

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.cache import never_cache
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods

from collection.bench.jobs import queries, sharing
from collection.bench.jobs.link_forms import GuestForm
from collection.bench.jobs.models import Job
from registry import clock
from registry.access.gate import outside_collections
from registry.access.models import ShareLink
from registry.access.sharing import TooOften, refuse_too_often, shared, use


@outside_collections
@never_cache
@sensitive_post_parameters()
@require_http_methods(["GET", "HEAD", "POST"])
def job(request: HttpRequest, token: str) -> HttpResponse:
    """Show one job's piece, complaint and orders, and take a finding."""
    link = shared(token, purpose=ShareLink.Purpose.JOB, now=clock.now())
    found = sharing.job_of(link) if link else None
    if link is None or found is None:
        return _answer(request, {}, status=410)
    try:
        return (
            _written(request, link, found)
            if request.method == "POST"
            else _shown(request, link, found)
        )
    except TooOften as often:
        return _answer(request, {"often": str(often)}, status=429)


def _shown(request: HttpRequest, link: ShareLink, job: Job) -> HttpResponse:
    use(link, now=clock.now())
    form = GuestForm(job=job, initial={"once": secrets.token_hex(16)})
    return _answer(request, _context(link, job) | {"form": form})


def _written(request: HttpRequest, link: ShareLink, job: Job) -> HttpResponse:
    refuse_too_often(link, now=clock.now())  # before a photo is looked into
    form = GuestForm(request.POST, request.FILES, job=job)
    if not form.is_valid():
        use(link, now=clock.now())
        return _answer(request, _context(link, job) | {"form": form}, status=422)
    sharing.write_finding(link=link, job=job, now=clock.now(), **form.cleaned_data)
    return redirect(request.path + "?written")


def _context(link: ShareLink, job: Job) -> dict:
    return {
        "link": link,
        "job": job,
        "orders": queries.orders_of(job),
        "limit": queries.limit_of(job),
        "findings": queries.written_by_guest(job, sharing.guest_of(link).code),
    }


def _answer(request: HttpRequest, context: dict, *, status: int = 200) -> HttpResponse:
    context["written"] = "written" in request.GET
    answer = render(request, "bench/guest_job.html", context, status=status)
    answer["X-Robots-Tag"] = "noindex, nofollow, noarchive"
    return answer

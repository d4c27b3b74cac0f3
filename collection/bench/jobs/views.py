"""Pages of jobs: the list, sending, one job, each stage, its links."""

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from collection.bench.jobs import queries, sharing
from collection.bench.jobs.forms import FORMS, SendForm
from collection.bench.jobs.link_forms import ShareForm
from collection.bench.jobs.models import Job
from collection.ledger.errors import LedgerError
from collection.ledger.queries import questions_of
from registry import clock
from registry.access.gate import needs
from registry.access.models import ShareLink
from registry.access.roles import Role
from registry.access.sharing import revoke, shares_of


@require_safe
def jobs(request: HttpRequest) -> HttpResponse:
    """What is away at a repairer and for how long, and what came back."""
    today = clock.today(request.collection.zone_info)
    away, back = queries.all_jobs(request.collection, today=today)
    return render(request, "bench/jobs.html", {"away": away, "back": back})


@require_http_methods(["GET", "HEAD", "POST"])
@needs(Role.TECHNICIAN)
def send(request: HttpRequest) -> HttpResponse:
    """Send pieces to a repairer."""
    form = SendForm(
        request.POST or None,
        initial={"pieces": request.GET.getlist("piece")},
        collection=request.collection,
        member=request.membership,
    )
    job = form.saved() if request.method == "POST" else None
    if job is not None:
        messages.success(request, f"{job.code}: sent to {job.repairer}, in the book.")
        return redirect("bench:job", request.collection.slug, job.code)
    status = 422 if form.is_bound else 200
    return render(request, "bench/job_send.html", {"form": form}, status=status)


@never_cache
@require_safe
def job(request: HttpRequest, job: str) -> HttpResponse:
    """One job as steps."""
    return _page(request, _job(request, job))


@require_http_methods(["GET", "HEAD", "POST"])
@needs(Role.TECHNICIAN)
def act(request: HttpRequest, job: str, act: str) -> HttpResponse:
    """One stage of a job."""
    if act not in FORMS:
        raise Http404(f"No stage of a job is called {act!r}.")
    found = _job(request, job)
    sent = (request.POST, request.FILES) if request.method == "POST" else (None, None)
    form = FORMS[act](*sent, job=found, collection=request.collection, member=request.membership)
    event = form.saved() if form.is_bound else None
    if event is not None:
        messages.success(request, f"{found.code}: {form.title.lower()}, in the book.")
        for asked in questions_of(event):
            messages.warning(request, f"The book asks: {asked.facts['question']}")
        return redirect("bench:job", request.collection.slug, found.code)
    context = {"form": form, "job": found, "act": act}
    return render(request, "bench/job_act.html", context, status=422 if form.is_bound else 200)


@never_cache
@require_POST
@needs(Role.TECHNICIAN)
def share(request: HttpRequest, job: str) -> HttpResponse:
    """Make a link to this job for the repairer; it is shown once."""
    found, form = _job(request, job), ShareForm(request.POST)
    if not form.is_valid():
        return _page(request, found, share_form=form, status=422)
    try:
        link, token = sharing.share_job(
            job=found, by=request.membership, now=clock.now(), **form.cleaned_data
        )
    except LedgerError as refused:
        messages.error(request, str(refused))
        return redirect("bench:job", request.collection.slug, found.code)
    address = request.build_absolute_uri(reverse("guest:job", args=[token]))
    return _page(request, found, made=link, address=address)


@require_POST
@needs(Role.TECHNICIAN)
def unshare(request: HttpRequest, job: str, share: int) -> HttpResponse:
    """Take a link back: it opens nothing any more."""
    links = shares_of(
        request.collection, purpose=ShareLink.Purpose.JOB, code=_job(request, job).code
    )
    link = revoke(get_object_or_404(links, pk=share), now=clock.now())
    messages.success(request, f"The link for {link.label} opens nothing any more.")
    return redirect("bench:job", request.collection.slug, job)


def _job(request: HttpRequest, code: str) -> Job:
    return get_object_or_404(queries.jobs(request.collection), code=code)


def _page(request: HttpRequest, found: Job, *, status: int = 200, **more) -> HttpResponse:
    today = clock.today(request.collection.zone_info)
    page = queries.page_of(found, today=today, member=request.membership)
    label = found.repairer.outward or found.repairer.name
    context = {"page": page, "now": clock.now(), "share_form": ShareForm(initial={"label": label})}
    return render(request, "bench/job.html", context | more, status=status)

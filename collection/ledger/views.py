"""Pages of the book."""

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.forms import Form
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.html import escape
from django.views.decorators.http import require_GET, require_http_methods, require_safe

from collection.core.events import choices
from collection.ledger import actions, proof, queries
from collection.ledger.correction import CorrectionForm
from collection.ledger.errors import LedgerError
from collection.ledger.forms import (
    AnswerForm,
    AskForm,
    RewriteForm,
    WithdrawForm,
    read_when,
    reading,
)
from collection.ledger.lines import named
from collection.ledger.models import Event
from collection.ledger.naming import in_names, naming_for
from collection.ledger.telling import Telling
from registry import clock
from registry.access.gate import needs
from registry.access.roles import Role

asks_and_writes = require_http_methods(["GET", "HEAD", "POST"])


@require_GET
def read_date(request: HttpRequest, slug: str = "") -> HttpResponse:
    """Echo how a date as typed is read, or why it cannot be."""
    text = request.GET.get("when", "")[:60]
    try:
        happened = read_when(text, collection=request.collection, now=clock.now())
    except ValidationError as error:
        return HttpResponse(escape(error.message))
    return HttpResponse(escape(f"Read as {reading(happened)}"))


@require_safe
def book(request: HttpRequest) -> HttpResponse:
    """Everything in the order it was written, newest first, by kind or thing if asked."""
    kind, subject = request.GET.get("kind", ""), request.GET.get("subject", "").strip().upper()
    below = request.GET.get("below", "")
    asked = {"kind": kind, "subject": subject}
    number = int(below) if below.isdecimal() and len(below) < 16 else None
    naming = naming_for(request.membership)
    lines = named(queries.book_page(request.collection, below=number, **asked), naming)
    size, root = proof.root_of(request.collection)
    more = lines[-1].event.sequence if len(lines) == queries.PAGE else None
    context = {"lines": lines, "size": size, "root": root, "more": more, "kinds": choices()}
    return render(request, "ledger/book.html", context | asked | {"below": number})


@require_safe
def entry(request: HttpRequest, entry: int) -> HttpResponse:
    """One entry with its whole correction line, its facts in words, and its leaf."""
    event = _event(request, entry)
    naming = naming_for(request.membership)
    line = named(queries.told(queries.correction_line(event)), naming)
    shown = next(one for one in line if one.event.sequence == entry)
    secret = event.kind == "valued" and not request.membership.may(Role.TECHNICIAN)
    context = {
        "line": line,
        "shown": shown,
        "newest": line[-1].event,
        "facts": [] if secret else queries.facts_in_words(event, naming),
        "named": [(one, naming(one.subject.code)) for one in queries.named_in(event)],
        "answered_by": queries.answers_to(event),
        "asked": named(queries.told(queries.questions_of(event)), naming),
    }
    return render(request, "ledger/entry.html", context)


@asks_and_writes
@needs(Role.TECHNICIAN)
def correct(request: HttpRequest, entry: int) -> HttpResponse:
    """Put an entry right: its facts, date, source and words; subject and kind stay."""
    event = _event(request, entry)
    said = queries.last_said(event)
    form = CorrectionForm(
        request.POST or None,
        said=said,
        stands=event.kind != "withdrawn",
        collection=request.collection,
        member=request.membership,
    )

    def write() -> Event:
        how = {"facts": form.facts(), "telling": form.telling(), "kind": said.kind}
        return actions.correct(event=event, **_writer(request), **how)

    return _written(request, form, write) or _form_page(request, "correct", form, event)


@asks_and_writes
@needs(Role.TECHNICIAN)
def withdraw(request: HttpRequest, entry: int) -> HttpResponse:
    """Take an entry back, with a reason."""
    event, form = _event(request, entry), WithdrawForm(request.POST or None)

    def write() -> Event:
        return actions.withdraw(event=event, **_writer(request), **form.cleaned_data)

    return _written(request, form, write) or _form_page(request, "withdraw", form, event)


@asks_and_writes
@needs(Role.TECHNICIAN)
def rewrite(request: HttpRequest, entry: int) -> HttpResponse:
    """This was another piece: withdrawn here and written anew there, in one act."""
    event, form = _event(request, entry), RewriteForm(request.POST or None)

    def write() -> Event:
        return actions.rewrite_on(event=event, **_writer(request), **form.cleaned_data)

    return _written(request, form, write) or _form_page(request, "rewrite", form, event)


@require_safe
def questions(request: HttpRequest) -> HttpResponse:
    """What nobody knows yet."""
    lines = named(queries.open_questions(request.collection), naming_for(request.membership))
    return render(request, "ledger/questions.html", {"lines": lines})


@asks_and_writes
@needs(Role.TECHNICIAN)
def ask(request: HttpRequest) -> HttpResponse:
    """Ask something that nobody can answer yet."""
    form = AskForm(request.POST or None, initial=request.GET.dict())

    def write() -> Event:
        once = form.cleaned_data.pop("once")
        telling = Telling(once=once or None)
        return actions.ask(**_writer(request), **form.cleaned_data, telling=telling)

    return _written(request, form, write) or _form_page(request, "ask", form)


@asks_and_writes
@needs(Role.TECHNICIAN)
def answer(request: HttpRequest, question: str) -> HttpResponse:
    """Answer a Question."""
    asked = queries.question(request.collection, question)
    if asked is None:
        raise Http404("There is no such question in this book.")
    form = AnswerForm(
        request.POST or None, collection=request.collection, member=request.membership
    )

    def write() -> Event:
        text = form.cleaned_data["text"]
        return actions.answer(asked=asked, text=text, telling=form.telling(), **_writer(request))

    return _written(request, form, write) or _form_page(request, "answer", form, asked)


@asks_and_writes
@needs(Role.TECHNICIAN)
def check(request: HttpRequest) -> HttpResponse:
    """Check the whole book against itself, when asked to."""
    verdict = proof.verify(request.collection) if request.method == "POST" else None
    size, root = proof.root_of(request.collection)
    context = {"verdict": verdict, "size": size, "root": root}
    return render(request, "ledger/check.html", context)


def _event(request: HttpRequest, number: int) -> Event:
    return get_object_or_404(queries.events(request.collection), sequence=number)


def _writer(request: HttpRequest) -> dict:
    return {"collection": request.collection, "by": request.membership}


def _written(request: HttpRequest, form: Form, write) -> HttpResponse | None:
    """Write what a valid form says and show the entry; None with the reasons on the form."""
    if request.method != "POST" or not form.is_valid():
        return None
    try:
        event = write()
    except LedgerError as error:
        for reason in getattr(error, "reasons", None) or [str(error)]:
            form.add_error(None, reason)
        return None
    naming = naming_for(request.membership)
    said = in_names(queries.sentence_of(event), naming)
    messages.success(request, f"Written, entry {event.sequence}: {said}")
    for asked in queries.questions_of(event):
        messages.warning(request, f"The book asks: {in_names(asked.facts['question'], naming)}")
    return redirect("ledger:entry", request.collection.slug, event.sequence)


def _form_page(
    request: HttpRequest, act: str, form: Form, event: Event | None = None
) -> HttpResponse:
    newest = queries.correction_line(event)[-1] if event else None
    naming = naming_for(request.membership)
    shown = named(queries.told([event]), naming)[0] if event else None
    context = {"form": form, "shown": shown, "newest": newest}
    status = 422 if form.is_bound else 200
    return render(request, f"ledger/{act}.html", context, status=status)

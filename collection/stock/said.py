"""What a page says once something of the stock is in the book."""

from django.contrib import messages
from django.http import HttpRequest

from collection.ledger.models import Event
from collection.ledger.queries import questions_of, sentence_of


def say(request: HttpRequest, event: Event) -> None:
    """What was written, and what the book asks about it."""
    messages.success(request, f"In the book, entry {event.sequence}: {sentence_of(event)}")
    for asked in questions_of(event):
        messages.warning(request, f"The book asks: {asked.facts['question']}")

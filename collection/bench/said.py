"""What an entry says, as its kind's record."""

from collection.core.events import facts_of
from collection.core.events.kind import Kind
from collection.ledger.models import Event


def facts_said(event: Event) -> Kind:
    """The facts of an entry, raised to today's version."""
    return facts_of(event.kind, event.facts, event.facts_version)

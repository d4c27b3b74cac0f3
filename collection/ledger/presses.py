"""Presses of forms that make a row and no entry: sent twice, they make one.

Forms that write an entry carry the press in its `Telling`. Places, people, tours and shows are rows
beside the book; their actions ask here inside the open book, where one writer is at a time.
"""

from collection.ledger.models import Press
from registry.access.models import Collection


def made_before(collection: Collection, once: str) -> str:
    """The code of what the same press made already; '' when it has made nothing."""
    if not once:
        return ""
    found = Press.objects.of(collection).filter(once=once).values_list("made", flat=True)
    return found.first() or ""


def remember(collection: Collection, once: str, code: str) -> None:
    """Keep what a press made."""
    if once:
        Press.objects.create(collection=collection, once=once, made=code)

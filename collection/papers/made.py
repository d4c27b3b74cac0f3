"""Writing down that a paper was made, once for each press of its form."""

from django.db import transaction

from collection.ledger.models import Press
from collection.papers.models import PaperMade


def record_paper(record: PaperMade, once: str = "") -> PaperMade:
    """Keep the record, or return the one that the same press made already."""
    with transaction.atomic():
        before = Press.objects.of(record.collection).filter(once=once).first() if once else None
        if before is not None:
            return PaperMade.objects.of(record.collection).get(pk=int(before.made))
        record.save()
        if once:
            Press.objects.create(collection=record.collection, once=once, made=str(record.pk))
    return record

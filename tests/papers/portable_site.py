"""A site that a collection has gone from, so that it can be taken in again."""

from django.db import connection

from collection.desk.post.models import Letter
from collection.ledger import guard
from collection.ledger.models import Branch, Event, Head, Mention, State
from collection.papers.portable import tables
from registry.access.models import Collection, Membership, ShareLink


def emptied(collection: Collection) -> None:
    """Remove every row of a collection, which only a test may do; its people stay."""
    guard.lift(connection)
    with connection.constraint_checks_disabled():
        Mention.objects.filter(subject__collection=collection).delete()
        for model in (State, Branch, Head, Event, Letter, ShareLink):
            model.objects.filter(collection=collection)._raw_delete(using="default")
        for model in reversed(tables.carried()):
            rows = tables.rows_of(model, collection)
            model._base_manager.filter(pk__in=list(rows.values_list("pk", flat=True)))._raw_delete(
                using="default"
            )
        Membership.objects.of(collection).delete()
        Collection.objects.filter(pk=collection.pk)._raw_delete(using="default")

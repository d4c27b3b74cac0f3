"""Make the derived rows of the books again from their entries."""

from django.core.management.base import BaseCommand
from django.db import transaction

from collection.ledger import proof
from registry.access.models import Collection


class Command(BaseCommand):
    help = "Make mentions, placed dates, states and branches again from the entries."

    def handle(self, *args, **options) -> None:
        for book in Collection.objects.order_by("slug"):
            with transaction.atomic():
                count = proof.rebuild(book)
            self.stdout.write(f"{book.slug}: {count} histories folded again")

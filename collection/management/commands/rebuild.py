"""Make the derived rows of the books again from their entries."""

from django.core.management.base import BaseCommand

from collection.ledger import derived
from registry.access.models import Collection


class Command(BaseCommand):
    help = "Make dates, mentions, places, states and branches again from the entries."

    def handle(self, *args, **options) -> None:
        for book in Collection.objects.order_by("slug"):
            count = derived.rebuild(book)
            self.stdout.write(f"{book.slug}: {count} histories folded again")

"""Remove photo files that no row speaks of."""

from datetime import timedelta
from typing import Any

from django.conf import settings
from django.core.management.base import BaseCommand
from django.utils import timezone

from collection.catalogue.photo.keep import tidy
from collection.catalogue.queries import kept_photos
from registry.access.queries import every_collection

YOUNG = timedelta(days=1)  # an upload that has not written its row yet is never older


class Command(BaseCommand):
    """Photo files without a row, older than a day, go; everything else stays."""

    help = "Remove photo files older than a day that no photo of any collection speaks of."

    def handle(self, *args: Any, **options: Any) -> None:
        """List what is removed, or say that nothing is."""
        known = set().union(*(kept_photos(collection) for collection in every_collection()))
        removed = tidy(settings.PHOTOS, known, timezone.now() - YOUNG)
        for path in removed:
            self.stdout.write(f"removed {path}")
        count = len(removed)
        self.stdout.write(f"{count} file{'' if count == 1 else 's'} removed.")

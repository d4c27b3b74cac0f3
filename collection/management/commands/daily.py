"""`manage.py daily`: write what letters are due, send what waits, tidy up.

Meant for a timer, once an hour or once a day: whatever it has done already it does not do again.
"""

from typing import Any

from django.core.management import call_command
from django.core.management.base import BaseCommand

from collection.desk.monthly.actions import write_seals
from collection.desk.post.actions import send_letters, write_letters
from collection.papers.sharing.actions import let_go
from registry import clock
from registry.access.queries import every_collection


class Command(BaseCommand):
    """Letters of every collection, then photo files that no row speaks of."""

    help = "Write and send letters, remove files without a row; may run as often as one likes."

    def add_arguments(self, parser) -> None:
        """Leaving the photos alone."""
        parser.add_argument("--no-tidy", action="store_true", help="leave photo files alone")

    def handle(self, *args: Any, **options: Any) -> None:
        """Say what was done, collection by collection."""
        now = clock.now()
        for collection in every_collection():
            written = write_letters(collection, now=now) + write_seals(collection, now=now)
            sent, failed = send_letters(collection, now=now)
            told = f"{collection.slug}: {len(written)} letters written, {sent} sent"
            self.stdout.write(told + (f", {failed} failed and kept" if failed else ""))
        let_go(now=now)
        if not options["no_tidy"]:
            call_command("tidy", stdout=self.stdout)

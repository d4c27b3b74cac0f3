"""Take a carried collection in; every hash is checked first."""

from pathlib import Path

from django.core.management.base import BaseCommand, CommandError, CommandParser

from collection.papers.portable.layout import NotCarried
from collection.papers.portable.loading import take_in
from collection.papers.portable.reading import opened


class Command(BaseCommand):
    help = "Take in a collection that was carried out of another site, or of this one before."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("file", type=Path)
        parser.add_argument("--address", default="", help="another slug, where its own is taken")

    def handle(self, *args, **options) -> None:
        try:
            with opened(options["file"]) as carried:
                done = take_in(carried, address=options["address"])
        except NotCarried as error:
            raise CommandError(f"Nothing was taken in. {error}") from error
        said = f"{done.collection.slug}: {done.entries} entries, {done.rows} rows, "
        self.stdout.write(f"{said}{done.photos} photos; every hash fits")
        self.stdout.write(f"root {done.root}, as it left")
        for sha256 in done.photos_left_out:
            self.stdout.write(f"  note: photo {sha256} was missing when it was carried out")
        self.stdout.write("Members sign in by a link: manage.py link NAME")

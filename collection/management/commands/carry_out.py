"""Write a whole collection into one file that another site can take in."""

import os
from pathlib import Path

from django.core.management.base import BaseCommand, CommandError, CommandParser

from collection.papers.portable.layout import NotCarried
from collection.papers.portable.packing import pack
from registry import clock
from registry.access.models import Collection


class Command(BaseCommand):
    help = "Write a collection with its book, rows and photos into one file, to be kept elsewhere."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("file", type=Path, help="the file to write; never one that is there")
        parser.add_argument("--collection", help="its slug; not needed when there is only one")
        parser.add_argument("--with-addresses", action="store_true", help="members' mail addresses")
        parser.add_argument(
            "--without-lost", action="store_true", help="leave out photos that are gone or changed"
        )

    def handle(self, *args, **options) -> None:
        books = Collection.objects.order_by("slug")
        if options["collection"]:
            books = books.filter(slug=options["collection"])
        if len(books) != 1:
            slugs = ", ".join(Collection.objects.values_list("slug", flat=True)) or "none"
            raise CommandError(f"Say which collection with --collection; there are: {slugs}.")
        path = options["file"]
        if path.exists():
            raise CommandError(f"{path} is there already and is left as it is.")
        self._write(books[0], path, options)
        self.stdout.write(f"{path}: {path.stat().st_size:,} bytes. It holds private things.")

    def _write(self, collection: Collection, path: Path, options: dict) -> None:
        """Under another name until it is whole, readable by its owner only."""
        arriving = path.with_name(f".{path.name}.arriving")
        wanted = {name: options[name] for name in ("with_addresses", "without_lost")}
        try:
            handle = os.open(arriving, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600)
            with os.fdopen(handle, "wb") as file:
                for _ in pack(collection, file, now=clock.now(), by="the console", **wanted):
                    pass
                file.flush()
                os.fsync(file.fileno())
            os.rename(arriving, path)
        except (NotCarried, OSError) as error:
            raise CommandError(str(error)) from error
        finally:
            arriving.unlink(missing_ok=True)

"""Check the books: every entry against its leaf, the leaves against the root."""

from time import perf_counter

from django.core.management.base import BaseCommand, CommandError, CommandParser

from collection.ledger import proof
from registry.access.models import Collection


class Command(BaseCommand):
    help = "Check every entry of the books; names the first one that does not fit."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--collection", help="slug of the collection; else all of them")

    def handle(self, *args, **options) -> None:
        books = Collection.objects.order_by("slug")
        if options["collection"]:
            books = books.filter(slug=options["collection"])
        if not books:
            raise CommandError("There is no such collection here.")
        unfit = [book for book in books if not self._check(book)]
        if unfit:
            raise CommandError("A book does not fit.")

    def _check(self, book: Collection) -> bool:
        started = perf_counter()
        verdict = proof.verify(book)
        took = perf_counter() - started
        self.stdout.write(f"{book.slug}: {verdict.size} entries, root {verdict.root}, {took:.2f} s")
        for warning in verdict.warnings:
            self.stdout.write(f"  note: {warning}")
        for misfit in verdict.misfits:
            where = "the book" if misfit.entry is None else f"entry {misfit.entry}"
            self.stdout.write(f"  does not fit: {where}: {misfit.reason}")
        if verdict.fits:
            self.stdout.write("  all entries fit; compare the root with one kept elsewhere")
        return verdict.fits

"""Check the books: every entry against its leaf, the leaves against the root."""

from pathlib import Path
from time import perf_counter

from django.core.management.base import BaseCommand, CommandError, CommandParser

from collection.core.dossier_check import Checked, NoDossier
from collection.core.dossier_check import check as check_dossier
from collection.core.seal import LONGEST, NoSeal, Seal, read_seal
from collection.ledger import proof
from collection.ledger.sealing.checking import check
from collection.papers.dossier.opened import MOST_FILE, entries_of
from registry.access.models import Collection


class Command(BaseCommand):
    help = "Check every entry of the books; names the first one that does not fit."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--collection", help="slug of the collection; else all of them")
        parser.add_argument("--seal", help="check against a seal kept elsewhere: SIZE:ROOT or file")

        parser.add_argument("--dossier", help="check this PDF or entries.json, and no book")
        parser.add_argument("--root", help="with --dossier: the root kept elsewhere, or SIZE:ROOT")

    def handle(self, *args, **options) -> None:
        if options["dossier"]:
            self._dossier(checked_or_stop(options["dossier"], options["root"] or ""))
            return
        books = Collection.objects.order_by("slug")
        if options["collection"]:
            books = books.filter(slug=options["collection"])
        if not books:
            raise CommandError("There is no such collection here.")
        if options["seal"]:
            self._against(read_or_stop(options["seal"]), list(books))
            return
        unfit = [book for book in books if not self._check(book)]
        if unfit:
            raise CommandError("A book does not fit.")

    def _dossier(self, found: Checked) -> None:
        self.stdout.write(
            f"{found.subject}: {len(found.entries)} entries of a book of {found.size}"
        )
        self.stdout.write(f"  root in the file: {found.root}")
        for one in found.findings:
            self.stdout.write(f"  does not hold: {one.sentence()}")
        if not found.fits:
            raise CommandError(found.answer)
        self.stdout.write(f"  {found.answer}")

    def _against(self, seal: Seal, books: list[Collection]) -> None:
        own = [book for book in books if seal.book in ("", book.book)]
        if len(own) != 1:
            raise CommandError("Say with --collection which book was sealed: none or several fit.")
        found = check(own[0], seal)
        self.stdout.write(f"{own[0].slug}: {found.size} entries, root {found.root}")
        for one in found.statements:
            self.stdout.write(f"  {'holds' if one.holds else 'does not hold'}: {one.said}")
        if not found.fits:
            raise CommandError(found.answer)
        self.stdout.write(f"  {found.answer}")
        if found.taken_out:
            self.stdout.write(f"  words of {found.taken_out} of them were taken out, as it says")

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


def read_or_stop(given: str) -> Seal:
    """The seal in a text, or in a file of that name."""
    try:
        if ":" not in given or Path(given).is_file():
            with Path(given).open(encoding="utf-8") as file:
                return read_seal(file.read(LONGEST + 1))
        return read_seal(given)
    except (OSError, UnicodeDecodeError) as error:
        raise CommandError(f"{given} cannot be read: {error}") from error
    except NoSeal as error:
        raise CommandError(str(error)) from error


def checked_or_stop(file: str, root: str) -> Checked:
    """What came of checking a dossier; the machine's database is not asked."""
    try:
        with Path(file).open("rb") as opened:
            return check_dossier(entries_of(opened.read(MOST_FILE + 1)), root=root)
    except OSError as error:
        raise CommandError(f"{file} cannot be read: {error.strerror}") from error
    except (NoDossier, NoSeal) as error:
        raise CommandError(str(error)) from error

"""Filing a paper: its bytes untouched, known by their hash, with a line in the book."""

import hashlib

from collection.catalogue.actions import add_photo
from collection.catalogue.photo.accept import PhotoRefused, accept
from collection.core.chronology import exact_instant
from collection.core.events.noted import Noted
from collection.custody.filed.models import FiledPaper
from collection.ledger.actions import as_told, open_book
from collection.ledger.models import Subject
from collection.ledger.telling import Telling
from registry.access.models import Membership

ABOUT = "a paper filed"
PDF = b"%PDF-"
MOST_PDF_BYTES = 15 * 2**20


def check(content: bytes) -> None:
    """Raise PhotoRefused, with one sentence, for what can be filed neither as picture nor as PDF.

    A PDF is kept as it is and never opened here: it is only handed out again as a download.
    """
    if not content.startswith(PDF):
        accept(content)
    elif len(content) > MOST_PDF_BYTES:
        most = MOST_PDF_BYTES // 2**20
        raise PhotoRefused(f"The file has more than {most} MB, the most kept for one PDF.")


def file_paper(
    *,
    subject: Subject,
    by: Membership,
    title: str,
    content: bytes,
    from_whom: str = "",
    view: str = "other",
    telling: Telling | None = None,
) -> FiledPaper:
    """File a scan, a photo or a PDF with an incident or a piece; the same bytes once."""
    check(content)
    sha256 = hashlib.sha256(content).hexdigest()
    with open_book(subject.collection, by) as book:
        if before := FiledPaper.objects.filter(subject=subject, sha256=sha256).first():
            return before
        told = as_told(book, telling or Telling(words=f"{title}, SHA-256 {sha256}"))
        entry = book.append(Noted(about=ABOUT), subject.code, told).sequence
        photo = None
        if not content.startswith(PDF):
            # Marked as held back: a scan holds names and numbers, so viewers do not see it.
            photo = add_photo(
                collection=subject.collection, by=by, subject=subject, data=content,
                view=view, caption=title, shows_mark=True, entry=entry,
            )  # fmt: skip
        return FiledPaper.objects.create(
            collection=subject.collection,
            subject=subject,
            title=title,
            from_whom=from_whom,
            sha256=sha256,
            byte_count=len(content),
            photo=photo,
            data=None if photo else content,
            entry=entry,
            filed_at=exact_instant(told.happened, subject.collection.zone_info) or book.now,
            filed_by=by.code,
        )

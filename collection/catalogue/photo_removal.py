"""Taking a photo out for the sake of who is in it: the bytes go, their SHA-256 stays."""

from django.conf import settings
from django.db import transaction

from collection.catalogue.models import Photo
from collection.catalogue.photo.keep import remove
from collection.core.events.redacted import PHOTO, Redacted
from collection.ledger.actions import as_told, open_book
from collection.ledger.errors import LedgerError
from collection.ledger.models import Event
from collection.ledger.telling import Telling
from registry.access.models import Membership


def take_out_photo(
    *, photo: Photo, by: Membership, because: str, telling: Telling | None = None
) -> Event:
    """Remove the original and every picture of it, wherever in the collection it hangs.

    Files go once the entry is written for good. Raises LedgerError where it is gone already.
    """
    with open_book(photo.collection, by) as book:
        if telling and (before := book.sent_before(telling.once)):
            return before
        alike = Photo.objects.of(photo.collection).filter(sha256=photo.sha256, taken_out_at=None)
        if not alike.exists():
            raise LedgerError("This photo has been taken out already.")
        said = Redacted(what=PHOTO, because=because, photo=photo.sha256)
        written = book.append(said, photo.subject.code, as_told(book, telling))
        gone = {"taken_out_at": book.now, "taken_out_in": written.sequence}
        alike.update(**gone, caption="", camera_says="")
        name = photo.collection.book, photo.sha256
        transaction.on_commit(lambda: remove(settings.PHOTOS, *name))
        return written

"""Setting the Object ID sheet as a paper, and writing down that it was made."""

import hashlib
from datetime import datetime

from collection.core.date_sentence import day_words
from collection.core.object_id import KEEP_SECURE
from collection.papers.dossier.actions import pictures_of
from collection.papers.dossier.contents import told_photo
from collection.papers.dossier.queries import standing
from collection.papers.made import record_paper
from collection.papers.models import PaperMade
from collection.papers.object_id.queries import MOST_PHOTOS, ObjectId
from registry.access.models import Membership
from registry.typesetting import typeset


def make_sheet(*, by: Membership, found: ObjectId, now: datetime, once: str = "") -> bytes:
    """The sheet as PDF; who made it and its hash are kept."""
    piece, photos = found.piece, list(found.photos[:MOST_PHOTOS])
    pictures = pictures_of(piece, photos)
    told = [told_photo(photo, found.privacy) for photo in photos]
    data = {
        "code": piece.code,
        "called": piece.called,
        "collection": piece.collection.name,
        "as_of": day_words(now.astimezone(piece.collection.zone_info).date()),
        "headings": [
            {"name": one.name, "lines": list(one.printed), "recorded": one.recorded}
            for one in found.sheet.headings
        ],
        "missing": list(found.sheet.missing),
        "photos": [one for one in told if one["name"] in pictures],
        "keep": KEEP_SECURE,
    }
    title = f"Object ID of {piece.code}, {piece.called}"
    pdf = typeset("object_id/sheet", data, pictures=pictures, title=title, made_at=now)
    book = standing(piece.collection)
    record_paper(
        PaperMade(
            collection=piece.collection, paper=PaperMade.Paper.OBJECT_ID, subject=piece.subject,
            made_at=now, made_by=by.code, sha256=hashlib.sha256(pdf).hexdigest(),
            byte_count=len(pdf), book_size=book.size, root=book.root,
        ),
        once,
    )  # fmt: skip
    return pdf

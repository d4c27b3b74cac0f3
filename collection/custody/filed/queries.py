"""Reading what is filed."""

from collections.abc import Iterable

from django.db.models import QuerySet

from collection.custody.filed.models import FiledPaper
from collection.custody.models import Incident
from collection.ledger.models import Subject
from registry.access.models import Collection


def filed(collection: Collection) -> QuerySet[FiledPaper]:
    """Every paper filed, without the bytes of PDFs."""
    rows = FiledPaper.objects.of(collection).select_related("photo", "subject")
    return rows.defer("data")


def with_subject(subject: Subject) -> list[FiledPaper]:
    """What is filed with an incident or a piece, in order; 1 query."""
    return list(filed(subject.collection).filter(subject=subject))


def file_of(piece: Subject, incident: str | None) -> Subject:
    """Where papers about a piece that came back lie: its incident, else the piece itself."""
    row = Incident.objects.of(piece.collection).filter(code=incident or "").first()
    return row.subject if row else piece


def by_hash(collection: Collection, hashes: Iterable[str]) -> dict[str, FiledPaper]:
    """Papers by their SHA-256; 1 query."""
    wanted = set(hashes)
    return {row.sha256: row for row in filed(collection).filter(sha256__in=wanted)}

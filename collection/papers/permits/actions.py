"""Writing materials, certificates and their crossings; each stands in the book as a note."""

from dataclasses import dataclass, replace
from datetime import date
from typing import Any

from collection.catalogue.models import Piece
from collection.core.border import valid_at_most_until
from collection.core.date_sentence import day_words
from collection.core.events.noted import Noted
from collection.core.permit import LONGEST_YEARS
from collection.ledger.actions import as_told, open_book
from collection.ledger.book import Book
from collection.ledger.errors import PlanRefused
from collection.ledger.models import Event
from collection.ledger.telling import Telling
from collection.papers.permits.models import (
    CertificateCrossing,
    CertificateSpecies,
    InstrumentCertificate,
    PartMaterial,
    PermitRules,
    PieceAbroad,
)
from collection.papers.permits.queries import as_material
from registry.access.models import Collection, Membership

MONTHS = 12 * LONGEST_YEARS


@dataclass(frozen=True)
class Stamped:
    """One crossing on a continuation sheet."""

    on: date
    place: str
    country: str
    direction: str
    stamped: bool


def add_material(
    *, piece: Piece, by: Membership, telling: Telling | None = None, **facts: Any
) -> PartMaterial:
    """Say what a part of a piece is made of; the book keeps it as a note on the piece."""
    with open_book(piece.collection, by) as book:
        telling = as_told(book, telling)
        if before := book.sent_before(telling.once):
            return PartMaterial.objects.get(piece=piece, entry=before.sequence)
        row = PartMaterial(piece=piece, **facts)
        said = _told(row)
        row.entry = _note(book, "materials", piece.code, telling, said).sequence
        row.save()
        return row


def _told(row: PartMaterial) -> str:
    """A material with what shows it: the row can be struck, the note of the book stays."""
    shown = f"shown by: {row.evidence}" if row.evidence else ""
    since = f"acquired by {day_words(row.acquired_by)}" if row.acquired_by else ""
    unknown = "" if row.scientific else "species unknown"
    return f"{', '.join(filter(None, (as_material(row).words, unknown, since, shown)))}."


def strike_material(*, row: PartMaterial, by: Membership) -> None:
    """Take a part's material off again; the book says so."""
    with open_book(row.piece.collection, by) as book:
        said = f"Struck: {as_material(row).words}."
        _note(book, "materials", row.piece.code, as_told(book, None), said)
        row.delete()


def set_abroad(*, piece: Piece, by: Membership, for_sale: bool, handed_over: str) -> PieceAbroad:
    """Say whether a piece is for sale, or handed to somebody abroad."""
    with open_book(piece.collection, by):
        meant = {"for_sale": for_sale, "handed_over": handed_over}
        return PieceAbroad.objects.update_or_create(piece=piece, defaults=meant)[0]


def add_certificate(
    *, piece: Piece, by: Membership, code: str = "", telling: Telling | None = None, **facts: Any
) -> InstrumentCertificate:
    """Keep a certificate of an instrument; raises PlanRefused for more than three years."""
    latest = valid_at_most_until(facts["issued_on"], MONTHS)
    if facts["expires_on"] > latest:
        said = f"Valid for three years at most: until {day_words(latest)}."
        raise PlanRefused((said,))
    if facts["expires_on"] <= facts["issued_on"]:
        raise PlanRefused(("It would end before it is issued.",))
    with open_book(piece.collection, by) as book:
        telling = as_told(book, telling)
        if before := book.sent_before(telling.once):
            return InstrumentCertificate.objects.of(piece.collection).get(code=before.subject.code)
        subject = book.new_subject("certificate", code)
        made = InstrumentCertificate.objects.create(
            subject=subject, code=subject.code, collection=piece.collection, piece=piece, **facts
        )
        said = f"Certificate {made.number} for {piece.code}, until {day_words(made.expires_on)}."
        _note(book, "certificate", subject.code, telling, said)
        return made


def add_species(*, certificate: InstrumentCertificate, by: Membership, **facts: Any) -> Any:
    """A part and species that the certificate names; the same line twice is one."""
    with open_book(certificate.collection, by):
        known = {"certificate": certificate, "part": facts["part"]}
        known["scientific"] = facts["scientific"]
        return CertificateSpecies.objects.update_or_create(**known, defaults=facts)[0]


def cross(
    *, certificate: InstrumentCertificate, by: Membership, passed: Stamped,
    telling: Telling | None = None,
) -> CertificateCrossing:  # fmt: skip
    """A crossing with the certificate; never refused, stamped or not."""
    with open_book(certificate.collection, by) as book:
        telling = as_told(book, telling)
        if before := book.sent_before(telling.once):
            return CertificateCrossing.objects.get(certificate=certificate, entry=before.sequence)
        way = "Leaving" if passed.direction == "out" else "Coming in"
        stamp = "stamped" if passed.stamped else "NOT stamped"
        said = f"{way}, {passed.country}, at {passed.place}: continuation sheet {stamp}."
        telling = replace(telling, happened=f"{passed.on}")
        event = _note(book, "border crossing", certificate.code, telling, said)
        return CertificateCrossing.objects.create(
            certificate=certificate, on=passed.on, place=passed.place, country=passed.country,
            direction=passed.direction, stamped=passed.stamped, entry=event.sequence,
        )  # fmt: skip


def set_rules(*, collection: Collection, stale_months: int) -> PermitRules:
    """After how many months the table of species should be read again."""
    return PermitRules.objects.update_or_create(
        collection=collection, defaults={"stale_months": stale_months}
    )[0]


def _note(book: Book, about: str, code: str, telling: Telling, said: str) -> Event:
    words = " ".join(filter(None, (said, telling.words)))
    return book.append(Noted(about=about), code, replace(telling, words=words))

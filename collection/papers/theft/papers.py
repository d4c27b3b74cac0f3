"""The notice and the officer's sheet as PDF."""

import hashlib
from collections.abc import Mapping
from datetime import datetime
from typing import Any

from django.conf import settings

from collection.catalogue.models import Photo
from collection.catalogue.photo.keep import PhotoDamaged
from collection.catalogue.photo.shown import shown
from collection.core.chronology import exact_instant
from collection.core.lettering import stretches
from collection.core.notice_phrases import PHRASES, Phrases
from collection.core.wording import money
from collection.custody.incident import zone_of
from collection.custody.models import Incident
from collection.custody.whereabouts import whereabouts
from collection.papers.dossier.queries import standing
from collection.papers.made import record_paper
from collection.papers.models import PaperMade
from collection.papers.theft.ownership import Proof, ownership_of
from collection.papers.theft.sheets import (
    Notice,
    NoticeItem,
    OfficerRow,
    notice_of,
    officer_of,
    refusals,
)
from registry.access.models import Membership
from registry.typesetting import typeset


class NoticeRefused(Exception):
    """A notice that must not go out; `reasons` are whole sentences."""

    def __init__(self, reasons: tuple[str, ...]) -> None:
        super().__init__(" ".join(reasons))
        self.reasons = reasons


def make_notice(
    *, incident: Incident, by: Membership, language: str, now: datetime, once: str = ""
) -> bytes:
    """The notice as PDF in one language; raises NoticeRefused."""
    if reasons := refusals(incident):
        raise NoticeRefused(reasons)
    notice, words = notice_of(incident, whereabouts(by)), PHRASES[language]
    pictures = _pictures([item.photo for item in notice.items if item.photo], incident)
    pdf = typeset(
        "theft/notice", _told_notice(notice, words, pictures), pictures=pictures,
        title=f"{words.stolen}: {incident.code}", language=language, made_at=now,
    )  # fmt: skip
    _record(incident, by, PaperMade.Paper.NOTICE, pdf, now=now, once=once, for_whom=words.name)
    return pdf


def make_officer(*, incident: Incident, by: Membership, now: datetime, once: str = "") -> bytes:
    """The officer's sheet as PDF: owner's marks, values, proof of ownership, photos."""
    sheet = officer_of(incident, whereabouts(by))
    proofs = ownership_of([row.piece for row in sheet.rows], by)
    photos = [photo for proof in proofs.values() for photo in proof.photos]
    pictures = _pictures(photos, incident)
    data = {
        "code": incident.code,
        "collection": incident.collection.name,
        "kind": "Lost" if incident.kind == Incident.Kind.LOSS else "Stolen",
        "report": incident.get_report_display(),
        "station": incident.police_station,
        "reference": incident.police_reference,
        "where": sheet.where,
        "last_seen": sheet.last_seen,
        "found_gone": sheet.found_gone,
        "entry": incident.entry_words,
        "keys": incident.keys_words,
        "how": incident.how,
        "contact": ", ".join(filter(None, (incident.contact_words, incident.contact_reach))),
        "total": "; ".join(money(minor, currency) for minor, currency in sheet.totals),
        "unvalued": sheet.unvalued,
        "rows": [_told_row(row, proofs[row.piece.code], pictures) for row in sheet.rows],
    }
    title = f"For the officer: {incident.code}"
    pdf = typeset("theft/officer", data, pictures=pictures, title=title, made_at=now)
    _record(incident, by, PaperMade.Paper.OFFICER, pdf, now=now, once=once, for_whom="the police")
    return pdf


def _pictures(photos: list[Photo], incident: Incident) -> dict[str, bytes]:
    """Rebuilt pictures by name: pixels alone, without where and with what they were taken."""
    found = {}
    for photo in photos:
        try:
            path = shown(settings.PHOTOS, incident.collection.book, photo.sha256, "page")
            found[f"{photo.pk}.jpg"] = path.read_bytes()
        except (FileNotFoundError, PhotoDamaged):
            continue
    return found


def _told_notice(notice: Notice, words: Phrases, pictures: Mapping[str, bytes]) -> dict[str, Any]:
    incident = notice.incident
    return {
        "code": incident.code,
        "collection": "",
        "stolen": words.stolen,
        "where": [part for part in (notice.town, notice.where) if part],
        "window": words.window(_moment(incident.last_seen, incident, words),
                               _moment(incident.found_gone, incident, words)),
        "report": said_of_report(incident, words),
        "items": [_told_item(item, words, pictures) for item in notice.items],
        "seen_one": words.seen_one,
        "police": ", ".join(filter(None, (words.the_police, _reference(incident, words)))),
        "or_ring": words.or_ring if notice.reach else "",
        "contact": _contact(notice, words) if notice.reach else [],
        "do_not": words.do_not,
        "read_both": words.read_both,
    }  # fmt: skip


def _contact(notice: Notice, words: Phrases) -> list[str]:
    """The role and how to reach it, a line each."""
    plain = notice.contact.casefold().removeprefix("the ").strip()
    role = words.gear_desk if plain == "gear desk" else notice.contact
    return [role, *(part.strip() for part in notice.reach.split(","))]


def _reference(incident: Incident, words: Phrases) -> str:
    number = incident.police_reference.replace(" ", "\N{NO-BREAK SPACE}")
    return words.reference.format(number) if number else ""


def said_of_report(incident: Incident, words: Phrases) -> str:
    """How far the report is, in the language of the notice."""
    if incident.police_reference:
        return f"{words.reported}, {_reference(incident, words)}"
    return words.not_yet if incident.report == Incident.Report.NOT_YET else words.pending


def _moment(edtf: str, incident: Incident, words: Phrases) -> str:
    zone = zone_of(incident)
    exact = exact_instant(edtf, zone) if edtf else None
    return words.moment(exact.astimezone(zone)) if exact else edtf


def _told_item(item: NoticeItem, words: Phrases, pictures: Mapping[str, bytes]) -> dict[str, Any]:
    name = f"{item.photo.pk}.jpg" if item.photo else ""
    return {
        "name": item.name,
        "kind": words.kinds.get(item.kind, ""),
        "looks": item.looks,
        "marks": [f"{words.mark}: {mark}" for mark in item.marks],
        "serial_label": words.serial if item.serial else words.no_serial,
        "serial": _stretches(item.serial),
        "spelt": words.spelt(item.serial),
        "photo": name if name in pictures else "",
        "alt": f"{item.name}, {item.photo.get_view_display()}" if item.photo else "",
    }


def _told_row(row: OfficerRow, proof: Proof, pictures: Mapping[str, bytes]) -> dict[str, Any]:
    piece = row.piece
    photos = [photo for photo in proof.photos if f"{photo.pk}.jpg" in pictures]
    valued = row.value_minor is not None
    return {
        "code": piece.code,
        "called": piece.called,
        "looks": row.looks,
        "standing": row.standing,
        "marks": [str(mark) for mark in piece.marks],
        "serial": _stretches(row.serial.text),
        "serial_says": "; ".join(filter(None, (
            f"as marked: {piece.serial}" if piece.serial else "", row.serial.remark,
        ))),
        "mark": _stretches(row.owners_mark.text),
        "mark_says": f"as written: {piece.hidden_mark}" if piece.hidden_mark else "",
        "clash": row.clash,
        "value": money(row.value_minor, piece.value_currency) if valued else "not valued",
        "last_seen": row.last_seen or "not known",
        "held_back": list(row.held_back),
        "proof": list(proof.lines),
        "photos": [
            {"name": f"{p.pk}.jpg", "alt": f"{p.get_view_display()} of {piece.code}",
             "caption": p.caption or p.get_view_display()} for p in photos
        ],
    }  # fmt: skip


def _stretches(serial: str) -> list[dict[str, Any]]:
    return [{"text": part.text, "doubtful": part.doubtful} for part in stretches(serial)]


def _record(
    incident: Incident, by: Membership, paper: str, pdf: bytes, *, now: datetime, once: str,
    for_whom: str,
) -> None:  # fmt: skip
    book = standing(incident.collection)
    record_paper(
        PaperMade(
            collection=incident.collection, paper=paper, subject=incident.subject,
            for_whom=for_whom, made_at=now, made_by=by.code, byte_count=len(pdf),
            sha256=hashlib.sha256(pdf).hexdigest(), book_size=book.size, root=book.root,
        ),
        once,
    )  # fmt: skip

"""Handing a piece over: the entries, the consents and the papers, all or nothing."""

import io
import zipfile
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import date, datetime

from django.db import transaction

from collection.catalogue.models import Piece
from collection.core.events.hired_back import HiredBack
from collection.core.events.kind import Kind
from collection.core.events.noted import Noted
from collection.core.events.sold import Sold
from collection.core.events.title_changed import TitleChanged
from collection.core.handing_over import back_to
from collection.custody.models import Party
from collection.custody.whereabouts import whereabouts
from collection.ledger.actions import open_book
from collection.ledger.errors import PlanRefused
from collection.ledger.models import Event
from collection.ledger.telling import Telling
from collection.papers.dossier.actions import ENTRIES, entries_file, make_dossier
from collection.papers.dossier.choice import Choice, Chosen
from collection.papers.dossier.queries import history_of, standing
from collection.papers.dossier.readme import readme
from collection.papers.handing_over.queries import before, with_numbers
from registry.access.models import Membership

LEFT = frozenset({"sold", "title_changed", "hired_back"})


@dataclass(frozen=True)
class Handing:
    """What is done: which way, to whom, on which day, what goes along, who agreed to be named."""

    way: str
    to: Party
    choice: Choice
    on: date
    consents: Mapping[str, str] = field(default_factory=dict)
    once: str = ""


@transaction.atomic
def hand_over(*, piece: Piece, by: Membership, handing: Handing, now: datetime) -> bytes:
    """Write that it left, in one act, and set what goes with it: a ZIP of dossier and history.

    Raises PlanRefused with every reason. Sent twice by the same press, it is written once.
    """
    written = written_before(piece, handing.once) or _write(piece, by, handing)
    history = with_numbers(history_of(piece, by, whereabouts(by)), written)
    chosen = Chosen(history, replace(handing.choice, lines=handing.choice.lines | written))
    made = make_dossier(by=by, chosen=chosen, now=now, once=f"{handing.once}-paper"[:64])
    book = standing(by.collection)
    how = readme(piece.code, by.collection.name, count=len(chosen.numbers), book=book)
    return _packed({
        f"dossier-{piece.code}.pdf": made.pdf, ENTRIES: entries_file(chosen, book),
        "README.txt": how,
    })  # fmt: skip


def _write(piece: Piece, by: Membership, handing: Handing) -> frozenset[int]:
    with open_book(by.collection, by) as book:
        looked = before(piece, by)
        wrong = back_to(looked.state.owner, handing.to.code) if handing.way == "back" else ""
        if reasons := (*looked.refused, *filter(None, [wrong])):
            raise PlanRefused(reasons)
        for number, (code, words) in enumerate(sorted(handing.consents.items())):
            told = _told(handing, f"consent-{number}", words)
            book.append(Noted(about=f"consent of {code} to be named"), piece.code, told)
        facts = _facts(handing)
        entries = [book.append(one, piece.code, _told(handing, one.kind)) for one in facts]
        return frozenset(entry.sequence for entry in entries)


def _facts(handing: Handing) -> tuple[Kind, ...]:
    code = handing.to.code
    if handing.way == "back":
        return (HiredBack(to=code),)
    return Sold(to=code), TitleChanged(owner=code, basis="sale")


def _told(handing: Handing, what: str, words: str = "") -> Telling:
    once = f"{handing.once}-{what}"[:64] if handing.once else None
    return Telling(handing.on.isoformat(), source="told" if words else "seen", words=words,
                   once=once)  # fmt: skip


def written_before(piece: Piece, once: str) -> frozenset[int]:
    """Numbers of the entries that the same press wrote before."""
    if not once:
        return frozenset()
    presses = [f"{once}-{kind}"[:64] for kind in LEFT]
    found = Event.objects.of(piece.collection).filter(subject=piece.subject, once__in=presses)
    return frozenset(found.values_list("sequence", flat=True))


def _packed(files: Mapping[str, bytes]) -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as packed:
        for name, data in files.items():
            packed.writestr(name, data)
    return out.getvalue()

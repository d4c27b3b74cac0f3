"""The record of a piece: names, numbers, making, changes; and of every act of its provenance."""

from collection.catalogue.models import Piece
from collection.core import linked_art as art
from collection.core.linked_art import Json
from collection.core.partial_date import PartialDate
from collection.papers.dossier.private import KEPT_BACK, Privacy
from collection.papers.dossier.queries import History
from collection.papers.linked.acts import handings, modifications


def record_of(history: History, *, address: str) -> Json:
    """The piece as an object made by people; no value, owner by name, place or hidden mark."""
    piece, privacy = history.piece, history.privacy
    return art.human_made(
        address,
        piece.called,
        classified_as=[{"type": "Type", "_label": piece.family or piece.get_kind_display()}],
        identified_by=_called(piece, privacy),
        referred_to_by=_statements(piece, privacy),
        dimension=[art.weight(piece.mass_grams)] if piece.mass_grams else [],
        produced_by=_made(piece),
        modified_by=modifications(history),
    )


def provenance_of(history: History, *, address: str) -> list[Json]:
    """One record an act, in order of happening."""
    piece = history.piece
    thing = {"id": address, "type": "HumanMadeObject", "_label": piece.called}
    found = handings(history, address=f"{address}provenance/")
    return [art.provenance_activity(one, piece=thing) for one in found]


def _called(piece: Piece, privacy: Privacy) -> list[Json]:
    nickname = _kept(piece.nickname, privacy)
    said = [art.name(piece.called, term="primary name")]
    said += [art.name(nickname)] if nickname else []
    said.append(art.identifier(piece.code, term="owner's number"))
    serial = privacy.serial(piece)
    if serial and serial != KEPT_BACK:
        said.append(art.identifier(serial, label="serial number, as marked"))
    return said


def _statements(piece: Piece, privacy: Privacy) -> list[Json]:
    marks = [_kept(str(mark), privacy) for mark in piece.marks]
    told = [
        ("material", _kept(piece.materials, privacy)),
        ("dimension", _kept(piece.size, privacy)),
        ("description", _kept(piece.finish, privacy)),
        *(("description", mark) for mark in marks),
    ]
    return [art.statement(content, term=term) for term, content in told if content]


def _kept(text: str, privacy: Privacy) -> str:
    kept = privacy.kept(text)
    return "" if kept == KEPT_BACK else kept


def _made(piece: Piece) -> Json | None:
    built = PartialDate.parse(piece.year) if piece.year else None
    when = art.time_span(built.earliest, built.latest, said=built.sentence()) if built else None
    return art.production(str(piece.maker or ""), when)

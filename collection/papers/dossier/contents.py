"""What the paper says: plain data for the template, made from the chosen lines alone."""

from dataclasses import replace
from datetime import date
from typing import Any

from collection.bench.originality.queries import Known
from collection.catalogue.models import Photo, Piece
from collection.core.build_window import BuildWindow
from collection.core.date_sentence import day_words
from collection.core.events.originality_checked import JUDGEMENTS
from collection.core.partial_date import PartialDate
from collection.core.provenance import EXPLAINED, provenance
from collection.core.seal import Seal
from collection.core.state import from_json
from collection.core.statements import Position, Statement
from collection.papers.dossier.choice import Chosen
from collection.papers.dossier.private import Privacy
from collection.papers.dossier.queries import HistoryLine, Standing
from collection.papers.dossier.titles import clauses_of
from collection.papers.dossier.told import Teller

TITLES = frozenset({"acquired", "title_changed", "sold"})
VIEWS = {
    "front": "Front", "back": "Back", "serial": "Serial", "grain": "Grain", "scar": "Scar",
    "chassis": "Chassis", "other": "Detail",
}  # fmt: skip


def contents_of(
    chosen: Chosen, known: Known, *, shows: dict[str, str], book: Standing, today: date
) -> dict[str, Any]:
    """The whole paper as JSON data."""
    piece, teller = chosen.history.piece, Teller(chosen, shows)
    by_kind = {kind: [x for x in chosen.lines if x.last.kind == kind] for kind in KINDS}
    return {
        "code": piece.code,
        "called": piece.called,
        "collection": piece.collection.name,
        "as_of": day_words(today),
        "for_whom": chosen.choice.for_whom,
        "identity": identity_of(piece, chosen.history.privacy),
        "marks": [chosen.history.privacy.kept(str(mark)) for mark in piece.marks],
        "built": _built(_narrowed(known, chosen), len(known.said) + len(known.papers)),
        "provenance": _provenance(chosen),
        "titles": [teller.row(line) for line in chosen.lines if line.last.kind in TITLES],
        "life": teller.rows(),
        "documents": [teller.row(line) for line in by_kind["documented"]],
        "questions": [_question(line, teller, chosen) for line in by_kind["asked"]],
        "photos": [told_photo(photo, chosen.history.privacy) for photo in chosen.photos],
        "proof": _proof(chosen, book),
    }


KINDS = ("documented", "asked")


def identity_of(piece: Piece, privacy: Privacy) -> list[list[str]]:
    """The description of today, heading and value; '' where nothing is recorded."""
    built = PartialDate.parse(piece.year).sentence() if piece.year else ""
    mass = f"{piece.mass_grams / 1000:g} kg" if piece.mass_grams else ""
    mains = " ".join(
        filter(
            None,
            (
                f"{piece.mains_volts} V" if piece.mains_volts else "",
                f"{piece.mains_hz} Hz" if piece.mains_hz else "",
            ),
        )
    )
    said = [
        ("What it is", ", ".join(filter(None, (piece.get_kind_display(), piece.family)))),
        ("Maker", str(piece.maker or "")),
        ("Design and circuit", ", ".join(filter(None, map(str, _drawn(piece))))),
        ("Known as", privacy.kept(piece.nickname)),
        ("Serial, as marked", privacy.serial(piece)),
        ("Built, as registered", built),
        ("Finish", privacy.kept(piece.finish)),
        ("Size", privacy.kept(piece.size)),
        ("Mass", mass),
        ("Materials", privacy.kept(piece.materials)),
        ("Made in", piece.made_in),
        ("Mains", mains),
    ]
    return [[name, value] for name, value in said]


def _drawn(piece: Piece) -> list[object]:
    return [one for one in (piece.design, piece.circuit) if one]


# -- built and original ------------------------------------------------------------------------


def _narrowed(known: Known, chosen: Chosen) -> Known:
    """Only what the chosen entries say of parts and papers; witnesses as outsiders know them."""
    shown = {line.number: line for line in chosen.lines}
    positions = tuple(
        replace(
            one, said=tuple(_for_others(s, shown, chosen) for s in one.said if s.order in shown)
        )
        for one in known.positions
    )
    papers = tuple(
        replace(paper, who=paper.who if chosen.tells(shown[paper.event.sequence]) else "")
        for paper in known.papers
        if paper.event.sequence in shown
    )
    return replace(known, positions=tuple(p for p in positions if p.said), papers=papers)


def _for_others(said: Statement, shown: dict[int, HistoryLine], chosen: Chosen) -> Statement:
    """A statement whose witness is the note where it goes along, else who wrote it, by code."""
    line = shown[said.order]
    note = line.last.source_note if chosen.tells(line) else ""
    return replace(said, who=note or line.last.recorded_by)


def _built(known: Known, evidence: int) -> dict[str, Any]:
    shown = len(known.said) + len(known.papers)
    confirmed, likely = known.windows
    return {
        "windows": [
            ["By parts judged original", *_window(confirmed)],
            ["With parts judged likely too", *_window(likely)],
        ],
        "any": bool(shown),
        "not_shown": evidence - shown,
        "conflicts": list(known.contradictions),
        "positions": [_position(one, known) for one in known.positions],
        "design": f"{known.span[0]} to {known.span[1]}" if known.span else "",
    }


def _window(window: BuildWindow) -> tuple[str, str]:
    first = f"not before {day_words(window.not_before)}" if window.not_before else "no lower bound"
    last = f"not after {day_words(window.not_after)}" if window.not_after else "no upper bound"
    if window.not_before and window.not_after and window.not_before > window.not_after:
        return f"no day fits: {first}, but {last}", window.because
    return f"{first}, {last}", window.because


def _position(position: Position, known: Known) -> dict[str, Any]:
    return {
        "name": position.name[:1].upper() + position.name[1:],
        "disputed": len(position.said) > 1 and position.disputed(known.span),
        "said": [_statement(one, known) for one in position.said],
    }


def _statement(said: Statement, known: Known) -> dict[str, Any]:
    part = said.part(known.span)
    dates = [one.sentence() for one in part.readings]
    dates = [part.dated.sentence()] if part.dated else dates
    event = known.entries[said.order]
    return {
        "judgement": JUDGEMENTS.get(said.judgement, said.judgement),
        "mark": said.mark,
        "dates": " / ".join(dates),
        "evidence": said.evidence,
        "source": said.source,
        "certainty": said.certainty,
        "entry": event.sequence,
    }


# -- provenance, questions, photos, proof -------------------------------------------------------


def _provenance(chosen: Chosen) -> dict[str, Any]:
    lines = [line for line in chosen.lines if line.last.kind in TITLES]
    noted = [(x.last, x.last.source_note if chosen.tells(x) else "") for x in lines]
    clauses = clauses_of(
        noted,
        collection=chosen.history.piece.collection.name,
        privacy=chosen.history.privacy,
        named=chosen.choice.named,
    )
    made = provenance(clauses)
    return {
        "paragraph": made.paragraph,
        "notes": list(made.notes),
        "warnings": list(made.warnings),
        "explained": EXPLAINED,
    }


def _question(line: HistoryLine, teller: Teller, chosen: Chosen) -> dict[str, Any]:
    code = line.last.subject.code
    answers = [
        teller.sentence(one.last)
        for one in chosen.lines
        if one.last.kind == "answered" and one.last.subject.code == code
    ]
    open_still = from_json(line.last.subject.state.detail).condition == "open"
    return {
        "code": code,
        "asks": teller.sentence(line.last).removeprefix("Question: "),
        "entry": line.number,
        "answers": answers,
        "state": "open" if open_still else "answered",
    }


def told_photo(photo: Photo, privacy: Privacy) -> dict[str, str]:
    """A photo with the words that stand for it, and the hash of the original it was made from."""
    view = VIEWS.get(photo.view, "Photo")
    said = photo.caption.strip()
    said = "" if privacy.leaks(said) else said
    return {
        "name": f"{photo.pk}.jpg",
        "alt": f"{view} of {photo.subject.code}{f': {said}' if said else ''}",
        "caption": f"{view}{f': {said}' if said else ''}",
        "sha256": photo.sha256,
    }


def _proof(chosen: Chosen, book: Standing) -> dict[str, Any]:
    groups = Seal(book.size, book.root).groups
    lines = chosen.lines
    return {
        "size": book.size,
        "root": [" ".join(groups[at : at + 4]) for at in range(0, len(groups), 4)],
        "pair": f"{book.size}:{book.root}",
        "entries": len(chosen.numbers),
        "lines": len(lines),
        "left_out": chosen.left_out,
        "kept_back": sum(line.has_words and not chosen.tells(line) for line in lines),
    }

"""Reading what people judged and what papers date: a piece at a time, or the whole collection."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property

from collection.bench import queries as bench
from collection.bench.said import facts_said
from collection.catalogue import queries as catalogue
from collection.catalogue.models import Photo, Piece
from collection.core.build_window import (
    WITH_LIKELY,
    BuildWindow,
    DocumentDate,
    both_windows,
    build_window,
)
from collection.core.built_claims import Claim, contradictions
from collection.core.events.documented import DOCUMENTS, Documented
from collection.core.events.originality_checked import OriginalityChecked
from collection.core.statements import Position, Span, Statement, by_position, dated
from collection.core.survey_parts import in_order, parts_of
from collection.ledger.models import Event
from collection.ledger.queries import superseded
from registry.access.models import Collection, Membership
from registry.access.queries import member_names

KINDS = ("originality_checked", "documented")


@dataclass(frozen=True)
class Paper:
    """A dated document with its entry."""

    event: Event
    facts: Documented
    who: str
    photos: tuple[Photo, ...] = ()

    @property
    def name(self) -> str:
        """What it is, in words."""
        return DOCUMENTS.get(self.facts.what, self.facts.what)

    @property
    def dated(self) -> DocumentDate | None:
        """As the build window takes it; None where it is undated or perhaps another piece."""
        when = dated(self.facts.dated)
        return DocumentDate(self.name, when, self.who) if when and self.facts.piece_in_it else None

    @property
    def claim(self) -> Claim | None:
        """The year that it claims, if it does."""
        built = dated(self.facts.says_built)
        return Claim(f"The {self.name}", built) if built else None


@dataclass(frozen=True)
class Known:
    """Everything that is said of one piece's parts and date, and what follows from it."""

    piece: Piece
    span: Span
    positions: tuple[Position, ...]
    papers: tuple[Paper, ...]
    entries: Mapping[int, Event]
    photos: Mapping[int, tuple[Photo, ...]]

    @property
    def said(self) -> list[Statement]:
        """Every statement that stands."""
        return [one for position in self.positions for one in position.said]

    @property
    def best(self) -> list[Statement]:
        """The best supported statement of each position."""
        return [position.best for position in self.positions if position.best]

    @property
    def documents(self) -> list[DocumentDate]:
        """Documents that bound."""
        return [paper.dated for paper in self.papers if paper.dated]

    @property
    def claims(self) -> list[Claim]:
        """Years that papers and the register claim."""
        own = dated(self.piece.year)
        register = [Claim("The register", own)] if own else []
        return [*(paper.claim for paper in self.papers if paper.claim), *register]

    @cached_property
    def windows(self) -> tuple[BuildWindow, BuildWindow]:
        """By parts judged original alone, and with those judged likely."""
        return both_windows([one.part(self.span) for one in self.best], self.documents)

    @cached_property
    def contradictions(self) -> tuple[str, ...]:
        """Whole sentences for all that does not fit together."""
        every = [one.part(self.span) for one in self.said]
        window = build_window(every, self.documents, trust=WITH_LIKELY)
        return (*window.conflicts, *contradictions(self.claims, *self.windows))


def known_of(piece: Piece, member: Membership | None) -> Known:
    """What is said of a piece; four queries at most."""
    (found,) = _known([piece], Event.objects.filter(subject=piece.subject), member)
    return found


def across(collection: Collection, member: Membership) -> list[Known]:
    """Every piece of which something is said, by code; four queries."""
    events = Event.objects.of(collection).filter(kind__in=KINDS)
    told = list(_effective(events))
    rows = bench.pieces(collection).filter(pk__in={event.subject_id for event in told})
    return _known(list(rows.order_by("code")), events, member)


def positions_of(piece: Piece) -> tuple[str, ...]:
    """The parts to look at: the house list, then the positions of the chart."""
    family = piece.family or (piece.design.family if piece.design else "")
    chart = catalogue.positions(piece.circuit) if piece.circuit else []
    return in_order(parts_of(piece.kind, family), [one.name for one in chart])


def span_of(piece: Piece) -> Span:
    """First and last year in which its design was made, where both are known."""
    made = dated(piece.design.produced) if piece.design else None
    if made is None or made.earliest is None or made.latest is None:
        return None
    return made.earliest.year, made.latest.year


def _effective(rows):
    kept = rows.filter(kind__in=KINDS).filter(~superseded())
    return kept.select_related("subject").order_by("sequence")


def _known(pieces: list[Piece], events, member: Membership | None) -> list[Known]:
    if not pieces:
        return []
    collection = pieces[0].collection
    told, who = list(_effective(events)), member_names(collection)
    photos = _photos(collection, told, member)
    found = []
    for piece in pieces:
        own = [event for event in told if event.subject_id == piece.pk]
        listed = positions_of(piece) if len(pieces) == 1 else ()
        said = [_statement(event, who, photos) for event in own if event.kind == KINDS[0]]
        papers = [_paper(event, who, photos) for event in own if event.kind == KINDS[1]]
        found.append(
            Known(
                piece,
                span_of(piece),
                by_position(said, listed),
                tuple(papers),
                {event.sequence: event for event in own},
                photos,
            )
        )
    return found


def _photos(
    collection: Collection, told: Iterable[Event], member: Membership | None
) -> dict[int, tuple[Photo, ...]]:
    if member is None:
        return {}
    kept: dict[int, tuple[Photo, ...]] = {}
    entries = [event.sequence for event in told]
    for photo in catalogue.photos(collection, member).filter(entry__in=entries):
        kept[photo.entry] = (*kept.get(photo.entry, ()), photo)
    return kept


def _witness(event: Event, who: Mapping[str, str]) -> str:
    return event.source_note or who.get(event.recorded_by, event.recorded_by)


def _statement(event: Event, who: Mapping[str, str], photos: Mapping) -> Statement:
    facts = facts_said(event)
    assert isinstance(facts, OriginalityChecked)
    return Statement(
        position=facts.position,
        judgement=facts.judgement,
        mark=facts.marking,
        reading=facts.reading,
        made=facts.made,
        evidence=facts.evidence,
        source=event.source,
        certainty=event.certainty,
        who=_witness(event, who),
        has_photo=event.sequence in photos,
        order=event.sequence,
    )


def _paper(event: Event, who: Mapping[str, str], photos: Mapping) -> Paper:
    facts = facts_said(event)
    assert isinstance(facts, Documented)
    return Paper(event, facts, event.source_note, tuple(photos.get(event.sequence, ())))

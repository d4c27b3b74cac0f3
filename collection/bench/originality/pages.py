"""What the pages on originality and date show."""

from collections.abc import Iterator
from dataclasses import dataclass

from collection.bench.originality import queries
from collection.bench.originality.ladder import ladder_of
from collection.bench.originality.queries import Known, Paper
from collection.catalogue.models import Photo, Piece
from collection.core.build_window import NEVER_COUNTS, BuildWindow
from collection.core.drawing.ladder import Ladder
from collection.core.events.originality_checked import JUDGEMENTS
from collection.core.statements import Position, Statement
from collection.core.survey_parts import kind_of_part
from collection.ledger.models import Event
from collection.ledger.queries import questions_about
from registry.access.models import Collection, Membership

GLYPHS = {"original": "ok", "likely": "thin", "unknown": "ask", "replaced": "void"}


@dataclass(frozen=True)
class SaidLine:
    """One statement as the page prints it."""

    said: Statement
    event: Event
    dates: str
    photos: tuple[Photo, ...]

    @property
    def words(self) -> str:
        """The judgement in words."""
        return JUDGEMENTS.get(self.said.judgement, self.said.judgement)

    @property
    def glyph(self) -> str:
        """Its glyph."""
        return GLYPHS.get(self.said.judgement, "ask")


@dataclass(frozen=True)
class SurveyLine:
    """One part of the survey: what is best supported, what else is said."""

    position: Position
    said: list[SaidLine]
    disputed: bool

    @property
    def never_counts(self) -> bool:
        """Whether it is of a kind that is replaced all the time."""
        return kind_of_part(self.position.name) in NEVER_COUNTS


@dataclass(frozen=True)
class OriginalityPage:
    """One piece: ladder, windows, contradictions, survey, papers."""

    known: Known
    ladder: Ladder | None
    survey: list[SurveyLine]
    questions: list[Event]

    @property
    def piece(self) -> Piece:
        """The piece."""
        return self.known.piece

    @property
    def judged(self) -> list[SurveyLine]:
        """Parts that somebody judged."""
        return [line for line in self.survey if line.said]

    @property
    def waiting(self) -> list[SurveyLine]:
        """Parts that nobody judged yet."""
        return [line for line in self.survey if not line.said]

    @property
    def windows(self) -> list[tuple[str, BuildWindow]]:
        """Both levels of trust, with their names."""
        confirmed, likely = self.known.windows
        return [("By parts judged original", confirmed), ("With parts judged likely too", likely)]


@dataclass(frozen=True)
class Settles:
    """What settles the year of a piece, for its own page."""

    lines: list[SaidLine]
    papers: tuple[Paper, ...]
    window: BuildWindow
    contradictions: tuple[str, ...]

    @property
    def any(self) -> bool:
        """Whether there is anything to show."""
        return bool(self.lines or self.papers)


def page_of(piece: Piece, member: Membership) -> OriginalityPage:
    """Everything on one piece; eight queries at most."""
    known = queries.known_of(piece, member)
    survey = [
        SurveyLine(
            position,
            [_line(one, known) for one in position.said],
            len(position.said) > 1 and position.disputed(known.span),
        )
        for position in known.positions
    ]
    return OriginalityPage(known, ladder_of(known), survey, questions_about(piece.subject))


def settles_of(piece: Piece, member: Membership) -> Settles:
    """What dates the piece: best statements with a date, papers, the window with likely parts."""
    known = queries.known_of(piece, member)
    lines = [_line(one, known) for one in known.best if one.made or one.mark]
    return Settles(lines, known.papers, known.windows[1], known.contradictions)


def in_doubt_first(collection: Collection, member: Membership) -> list[Known]:
    """Every piece of which something is said, those that contradict themselves first."""
    return sorted(queries.across(collection, member),
                  key=lambda one: (not one.contradictions, one.piece.code))  # fmt: skip


def _line(said: Statement, known: Known) -> SaidLine:
    event = known.entries[said.order]
    return SaidLine(said, event, " / ".join(_dates(said, known)), known.photos.get(said.order, ()))


def _dates(said: Statement, known: Known) -> Iterator[str]:
    part = said.part(known.span)
    if part.dated:
        yield part.dated.sentence()
    for reading in part.readings:
        yield reading.sentence()

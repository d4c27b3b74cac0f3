"""From what is known of a piece to the rows of its date ladder."""

from collections.abc import Iterator

from collection.bench.originality.queries import Known, Paper
from collection.core.build_window import NEVER_COUNTS, PartDate
from collection.core.drawing.ladder import Dated, Ladder, ladder, scale_for
from collection.core.events.originality_checked import JUDGEMENTS
from collection.core.statements import Position, Statement, dated


def ladder_of(known: Known) -> Ladder | None:
    """The drawing; None where nothing has a date."""
    rows = list(rows_of(known))
    if not rows:
        return None
    confirmed, likely = known.windows
    return ladder(
        rows,
        not_before=confirmed.not_before,
        not_before_likely=likely.not_before,
        not_after=confirmed.not_after,
        years=scale_for(rows, known.span),
    )


def rows_of(known: Known) -> Iterator[Dated]:
    """Every dated statement, the surest first, then documents, then years that are claimed."""
    for position in known.positions:
        disputed = len(position.said) > 1 and position.disputed(known.span)
        for said in position.said:
            part = said.part(known.span)
            if part.earliest or part.latest:
                yield _part_row(position, said, part, disputed=disputed, known=known)
    for paper in known.papers:
        if when := dated(paper.facts.dated):
            words = f"{paper.name}, {when.sentence()}"
            yield Dated(words, when.earliest, when.latest, "document", _doubt(paper))
    for claim in known.claims:
        wrong = "does not fit the window" if claim.contradicts(known.windows[1]) else ""
        words = f"{claim.who} says {claim.built.sentence()}"
        yield Dated(words, claim.built.earliest, claim.built.latest, "claim", wrong)


def _part_row(
    position: Position, said: Statement, part: PartDate, *, disputed: bool, known: Known
) -> Dated:
    judged = JUDGEMENTS.get(said.judgement, said.judgement)
    says = " or ".join(one.sentence() for one in part.readings)
    says = says or (part.dated.sentence() if part.dated else "")
    mark = f" {said.mark}" if said.mark else ""
    counts = ", never counts" if part.kind in NEVER_COUNTS else ""
    wrong = f"another statement differs ({said.who})" if disputed else ""
    late = [one for one in known.documents if _later(part, one.dated.latest)]
    if late and said.judgement in {"original", "likely"}:
        wrong = f"later than the {late[0].what}"
    look = said.judgement if said.judgement in JUDGEMENTS else "unknown"
    words = f"{position.name}{mark}: {says}, {judged}{counts}"
    return Dated(words, part.earliest, part.latest, look, wrong)  # type: ignore[arg-type]


def _later(part: PartDate, existed) -> bool:
    return bool(part.earliest and existed and part.earliest > existed)


def _doubt(paper: Paper) -> str:
    return "" if paper.facts.piece_in_it else "perhaps not this piece"

"""Whether a type may go into a position: asked of a plan, told of what was found."""

from collections.abc import Iterable
from dataclasses import dataclass

from collection.catalogue.models import Piece, Position
from collection.core.events.asked import Asked
from collection.core.substitution import substitution
from collection.ledger.book import Book
from collection.ledger.errors import PlanRefused
from collection.ledger.models import Event
from collection.ledger.telling import Telling
from collection.stock.models import UNKNOWN, PartType
from collection.stock.positions import names_in

PLAN, DONE, FOUND = "plan", "done", "found"


class SayWhy(PlanRefused):
    """A risky plan: it stands once somebody says 'I know, because …'."""


@dataclass(frozen=True)
class Fit:
    """Why a type must not go in, and what to know before it does."""

    refused: tuple[str, ...] = ()
    warned: tuple[str, ...] = ()

    @property
    def doubts(self) -> tuple[str, ...]:
        """Everything that speaks against it."""
        return self.refused + self.warned


def doubts_of(piece: Piece, position: str, type: PartType) -> Fit:
    """What speaks against a type in a position of a piece; 1 query."""
    chart = Position.objects.filter(circuit=piece.circuit) if piece.circuit_id else ()
    return fit_of(chart, position, type, piece=piece)


def refuse(doubts: Fit, because: str) -> None:
    """Raises PlanRefused of a wrong plan, SayWhy of a risky one for which no reason is given."""
    if doubts.refused:
        raise PlanRefused(doubts.refused)
    if doubts.warned and not because.strip():
        raise SayWhy(doubts.warned)


def ask(book: Book, doubts: Iterable[str], event: Event, about: str) -> None:
    """A Question for each doubt about what was done or found."""
    for doubt in doubts:
        question = book.new_subject("question")
        asked = Asked(question=doubt, about=about, entry=event.sequence)
        book.append(asked, question.code, Telling(happened="", source="inferred"))


def positions_named(positions: Iterable[Position], name: str) -> list[Position]:
    """The positions that a name means: one, all of a matched set, or several named at once."""
    named = names_in(name)
    return [one for one in positions if named & {one.name, one.matched_with}]


def fit_of(positions: Iterable[Position], name: str, type: PartType, *, piece: Piece) -> Fit:
    """Whether a type fits a position of a piece; nothing is known where the chart is empty."""
    positions = list(positions)
    named = positions_named(positions, name)
    if not named:
        known = ", ".join(one.name for one in positions)
        if not known:
            return Fit()
        return Fit(warned=(f"The chart of {piece.code} has no {name}; it has {known}.",))
    if type.code == UNKNOWN:
        return Fit(warned=(f"Nobody knows what sits in {name} of {piece.code}.",))
    takes = [code for one in named for code in one.fits]
    if not takes or _is_one_of(type, takes):
        return Fit()
    return _best(f"{named[0].name} of {piece.code}", type, dict.fromkeys(takes))


def _is_one_of(type: PartType, takes: Iterable[str]) -> bool:
    return bool({type.code, *type.same_as} & set(takes))


def _best(place: str, type: PartType, takes: Iterable[str]) -> Fit:
    """The kindest verdict over the types that a position takes."""
    verdicts = [_verdict(place, type, code) for code in takes]
    return min(verdicts, key=lambda fit: (len(fit.refused), len(fit.warned)))


def _verdict(place: str, type: PartType, code: str) -> Fit:
    found = substitution(code, type.code)
    head = f"{place} takes {code}."
    if found.level == "same":
        return Fit()
    if found.level == "wrong":
        return Fit(refused=tuple(f"{head} {said}" for said in found.sentences))
    if code in type.near:
        return Fit(warned=(f"{head} {type.code} is near: {type.near[code]}.",))
    if found.level == "near":
        return Fit(warned=tuple(f"{head} {said}" for said in found.sentences))
    return Fit(refused=(f"{head} Nothing says that {type.code} may go in there.",))

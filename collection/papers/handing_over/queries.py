"""What is looked at before a piece is handed over: standing, title, permits, warnings."""

from dataclasses import dataclass, replace

from django.db.models import QuerySet

from collection.core import handing_over as rules
from collection.core.chronology import in_order
from collection.core.permit import Material
from collection.core.state import State, from_json
from collection.custody.models import Party
from collection.custody.queries import parties
from collection.custody.whereabouts import whereabouts
from collection.ledger.leaf import to_entry
from collection.ledger.queries import questions_about
from collection.papers.dossier.queries import History, history_of
from collection.papers.permits.models import InstrumentCertificate
from collection.papers.permits.queries import certificates, materials_of
from registry.access.models import Membership


@dataclass(frozen=True)
class Before:
    """Everything that is shown before: why not, what to look at, the history to choose from."""

    history: History
    state: State
    refused: tuple[str, ...]
    protected: tuple[Material, ...]
    certificates: tuple[InstrumentCertificate, ...]

    @property
    def tag(self) -> str:
        """Why it must not be powered, '' where it may."""
        return self.state.tag.reason if self.state.tag else ""


def before(piece, member: Membership) -> Before:
    """Look at one piece; a fixed number of queries."""
    history = history_of(piece, member, whereabouts(member))
    row = getattr(piece.subject, "state", None)
    state = from_json(row.detail) if row else State()
    holder = history.privacy.parties.get(state.holder or "")
    why = rules.refusals(
        state, holder=holder.name if holder else "", disputes=_disputes(history)
    )  # fmt: skip
    made_of = [material for _, material in materials_of(piece)]
    return Before(
        history, state, why,
        tuple(one for one in made_of if one.listing or one.maybe),
        tuple(certificates(piece.collection).filter(piece=piece)),
    )  # fmt: skip


def _disputes(history: History) -> tuple[str, ...]:
    piece = history.piece
    lines = [line for line in history.lines if line.last.kind in rules.TITLES]
    entries = [to_entry(e, e.subject.code) for line in lines for e in line.events]
    zone = piece.collection.zone_info
    asked = [str(one.facts.get("question", "")) for one in questions_about(piece.subject)]
    return rules.disputes(in_order(entries, zone=zone), asked, zone)


def takers(before: Before) -> QuerySet[Party]:
    """Who can be handed a piece."""
    return parties(before.history.piece.collection).order_by("name")


def with_numbers(history: History, numbers: frozenset[int]) -> History:
    """A history in which these lines, just written, are no longer private."""
    lines = tuple(
        replace(line, private=()) if line.number in numbers else line for line in history.lines
    )
    return replace(history, lines=lines)

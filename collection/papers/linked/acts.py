"""From entries of the book to acts of provenance, people by role, private places unnamed."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from collection.core import linked_art
from collection.core.events import facts_of
from collection.core.linked_art import Handing, Json
from collection.ledger.lines import when_of
from collection.ledger.models import Event
from collection.papers.dossier.private import PERSON, PRIVATE_PLACE, Privacy
from collection.papers.dossier.queries import History

OURS = "the collection"
# People stand by role and private places without a name, so these do not keep an entry back.
TOLD_OTHERWISE = frozenset({PERSON, PRIVATE_PLACE})
CHANGES = {"repaired": "Repaired", "modified": "Modified"}


@dataclass(frozen=True)
class Said:
    """How the facts of one kind read as an act: what passes, from whom to whom, where to."""

    says: str
    sort: str = ""
    title: bool = False
    custody: bool = False
    moved: bool = False
    from_whom: str | None = None
    to_whom: str | None = None
    to_place: str = ""
    from_place: str = ""


def _acquired(facts) -> Said:
    bought = facts.method in ("bought", "commissioned")
    says = "Purchase" if bought else "Acquisition"
    return Said(
        says, "purchase" if bought else "", title=True, custody=True,
        from_whom=facts.from_whom or None, to_whom=facts.owner or "",
    )  # fmt: skip


# Of each kind: a party by code, '' for the collection itself, None for nobody known.
SAID: dict[str, Callable[..., Said]] = {
    "acquired": _acquired,
    "title_changed": lambda f: Said("Change of ownership", title=True, to_whom=f.owner or ""),
    "sold": lambda f: Said(
        "Sale", "purchase", title=True, custody=True, from_whom="", to_whom=f.to or None
    ),
    "moved": lambda f: Said("Move", moved=True, to_place=f.to),
    "lent": lambda f: Said("Loan", "loan", custody=True, from_whom="", to_whom=f.to),
    "returned": lambda f: Said(
        "Return from a loan", "return", custody=True, moved=bool(f.at),
        from_whom=f.from_whom or None, to_whom="", to_place=f.at,
    ),
    "hired_in": lambda f: Said(
        "Loan to the collection", "loan", custody=True, moved=bool(f.at),
        from_whom=f.from_whom, to_whom="", to_place=f.at,
    ),
    "hired_back": lambda f: Said(
        "Return to its owner", "return", custody=True, from_whom="", to_whom=f.to
    ),
    "stolen": lambda f: Said(
        "Theft", "theft", custody=True, from_whom="", from_place=f.from_place
    ),
    "not_found": lambda f: Said("Loss", "loss", custody=True, from_whom=""),
    "recovered": lambda f: Said(
        "Recovery", custody=True, moved=True, from_whom=f.found_by or None, to_whom="",
        to_place=f.at,
    ),
    "sent_to_repair": lambda f: Said(
        "Sent for repair", custody=True, moved=bool(f.at), from_whom="", to_whom=f.to,
        to_place=f.at,
    ),
    "back_from_repair": lambda f: Said(
        "Back from repair", custody=True, moved=bool(f.at),
        from_whom=f.from_whom or None, to_whom="", to_place=f.at,
    ),
}  # fmt: skip


def handings(history: History, *, address: str) -> Iterator[Handing]:
    """The acts of a piece in order of happening; `address` is where each has its own record."""
    before = ""
    for event in effective(history):
        if event.kind not in SAID:
            continue
        said = SAID[event.kind](facts_of(event.kind, event.facts, event.facts_version))
        start = said.from_place or before
        before = said.to_place or (before if not said.custody else "")
        yield _handing(event, said, history.privacy, address=address, start=start)


def effective(history: History) -> Iterator[Event]:
    """The entries that stand, but those that say what nobody outside may know."""
    for line in history.lines:
        taken_back = line.last.kind == "withdrawn"
        if not taken_back and not set(line.private) - TOLD_OTHERWISE:
            yield line.last


def modifications(history: History) -> list[Json]:
    """Repairs and changes; one whose words name somebody is kept back by `effective`."""
    return [
        linked_art.modification(f"{CHANGES[event.kind]}: {event.facts['what']}", span_of(event))
        for event in effective(history)
        if event.kind in CHANGES
    ]


def span_of(event: Event) -> Json | None:
    """When an entry happened, the book's own words for it beside."""
    return linked_art.time_span(event.earliest, event.latest, said=when_of(event))


def _handing(event: Event, said: Said, privacy: Privacy, *, address: str, start: str) -> Handing:
    return Handing(
        id=f"{address}{event.sequence}/",
        says=said.says,
        sort=said.sort,
        title=said.title,
        custody=said.custody,
        moved=said.moved,
        from_whom=_who(said.from_whom, privacy),
        to_whom=_who(said.to_whom, privacy),
        moved_from=_where(start, privacy) if said.moved else "",
        moved_to=_where(said.to_place, privacy) if said.moved else "",
        when=span_of(event),
    )


def _who(code: str | None, privacy: Privacy) -> str:
    if code is None:
        return ""
    return privacy.called(code, frozenset()) if code in privacy.parties else OURS


def _where(code: str, privacy: Privacy) -> str:
    """A place by name; '' where it is private or nobody knows."""
    if code not in privacy.known.by_code:
        return ""
    called = privacy.called(code, frozenset())
    return "" if called == PRIVATE_PLACE else called

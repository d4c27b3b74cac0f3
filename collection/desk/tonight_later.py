"""What can wait for the next day off; nothing of it is ever red."""

from dataclasses import dataclass
from datetime import date

from collection.bench.models import Fault
from collection.catalogue.models import Piece
from collection.core.closeness import proof_days
from collection.core.transit_rules import Rules
from collection.core.wording import day as worded
from collection.desk.due import coming_shows, due_on
from collection.ledger.models import Event
from collection.road.rig import state_of
from registry.access.models import Collection

_EVIDENCE = (
    ("bench_checked_on", "bench-checked"),
    ("played_hot_on", "played-hot"),
    ("powered_on", "powered"),
)

WORK_SHOWN, QUESTIONS_SHOWN = 6, 2  # house rule: tonight is read in a minute


@dataclass(frozen=True)
class Later:
    """Something for the next day off: what, why, and in a word how."""

    what: str
    why: str
    how: str
    code: str = ""
    question: bool = False


@dataclass(frozen=True)
class ForLater:
    """What tonight shows of it, and how much more there is on the pages that have it all."""

    shown: tuple[Later, ...] = ()
    more_work: int = 0
    more_questions: int = 0


def later(collection: Collection, pieces: list[Piece], rules: Rules, *, today: date) -> ForLater:
    """Proofs aged out, faults waiting for clean shows, care that is due, open questions."""
    work = _due(collection, pieces, today)
    asked = _questions(collection, pieces)
    return ForLater(
        shown=(
            *_aged(pieces, rules, today),
            *_waiting(collection, pieces),
            *work[:WORK_SHOWN],
            *asked[:QUESTIONS_SHOWN],
        ),
        more_work=len(work[WORK_SHOWN:]),
        more_questions=len(asked[QUESTIONS_SHOWN:]),
    )


def _aged(pieces: list[Piece], rules: Rules, today: date) -> list[Later]:
    days = proof_days(rules)
    found = []
    for piece in pieces:
        state = state_of(piece)
        proofs = [(getattr(state, column), level) for column, level in _EVIDENCE] if state else []
        known = [(on, level) for on, level in proofs if on is not None]
        if known and all((today - on).days > days[level] for on, level in known):
            on, level = max(known)
            why = f"Last {level.replace('-', ' ')} on {worded(on, today=None)}."
            found.append(Later(f"Prove {piece.called} again", why, "power up", piece.code))
    return found


def _waiting(collection: Collection, pieces: list[Piece]) -> list[Later]:
    rows = Fault.objects.of(collection).filter(piece__in=pieces, subject__state__condition="fixed")
    rows = rows.order_by("subject__code")
    return [_listened(fault) for fault in rows.select_related("piece", "subject__state")]


def _listened(fault: Fault) -> Later:
    shows, asked = fault.subject.state.detail.get("clean_shows", 0), fault.proven_after_shows
    if shows < asked:
        why = f"{shows} of {asked} clean shows. Fault {fault.code}."
        return Later(f"{fault.symptom}: fixed, not proven yet", why, "listen", fault.piece.code)
    why = f"{shows} shows without it, {asked} are asked: settle {fault.code} as proven."
    return Later(f"{fault.symptom}: stayed away long enough", why, "settle", fault.piece.code)


def _due(collection: Collection, pieces: list[Piece], today: date) -> list[Later]:
    shows = coming_shows(collection, today=today)
    return [
        Later(one.plan.what, f"{one.due.words}.", "bench", one.piece.code)
        for one in due_on(collection, pieces, shows, today=today)
    ]


def _questions(collection: Collection, pieces: list[Piece]) -> list[Later]:
    rows = Event.objects.of(collection).filter(
        kind="asked",
        subject__state__condition="open",
        mentions__role="about",
        mentions__subject__in=[piece.pk for piece in pieces],
    )
    return [
        Later(event.facts["question"], "Open question.", "look", event.facts["about"], True)
        for event in rows.order_by("sequence")
    ]

"""Proofs that a piece worked, newest first, with what ended them between the lines."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from collection.core.entry import UNKNOWN_US, from_us
from collection.core.state import Proof, State
from collection.ledger.models import Event
from collection.ledger.queries import sentence_of
from registry.access.models import Collection


@dataclass(frozen=True)
class EvidenceLine:
    """A proof, or what ended the proofs below it (`broken`)."""

    on: date | None
    words: str
    by: str = ""
    broken: bool = False
    voided: str = ""


def evidence_of(
    collection: Collection, state: State, names: Mapping[str, str]
) -> list[EvidenceLine]:
    """The lines of a piece's evidence; one query. `names`: member code to name."""
    entries = _entries(collection, state)
    lines: list[EvidenceLine] = []
    if state.unproven_since is not None and not (state.proofs and state.proofs[0].voided):
        day = date.fromisoformat(state.unproven_since) if state.unproven_since else None
        lines.append(EvidenceLine(day, state.unproven_because, broken=True))
    ended_by: int | None = None
    for proof in state.proofs:
        if proof.voided and proof.voided_by != ended_by:
            lines.append(_break(collection, entries.get(proof.voided_by or -1), proof.voided))
        ended_by = proof.voided_by if proof.voided else ended_by
        entry = entries.get(proof.entry)
        by = names.get(entry.recorded_by, entry.recorded_by) if entry else ""
        said = _claim(proof)
        lines.append(EvidenceLine(date.fromisoformat(proof.on), said, by, voided=proof.voided))
    return lines


def _claim(proof: Proof) -> str:
    level = proof.level.replace("-", " ")
    if not proof.what or proof.what.startswith(level):
        return f"{(proof.what or level).capitalize()}."
    return f"{level.capitalize()}: {proof.what}."


def _entries(collection: Collection, state: State) -> dict[int, Event]:
    numbers = {proof.entry for proof in state.proofs}
    numbers |= {proof.voided_by for proof in state.proofs if proof.voided_by is not None}
    found = Event.objects.of(collection).filter(sequence__in=numbers)
    return {event.sequence: event for event in found}


def _break(collection: Collection, entry: Event | None, because: str) -> EvidenceLine:
    if entry is None or entry.placed_us == UNKNOWN_US:
        return EvidenceLine(None, because, broken=True)
    day = from_us(entry.placed_us).astimezone(collection.zone_info).date()
    said = because or sentence_of(entry)
    return EvidenceLine(day, said, broken=True)

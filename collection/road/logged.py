"""Logging a show: what the form starts with, and what a logged show says."""

from dataclasses import dataclass
from typing import Any

from collection.catalogue.models import Piece, PieceKind
from collection.ledger.models import Event
from collection.ledger.queries import sentence_of
from collection.road.day_sheet import heater_hours, ht_hours
from collection.road.models import Died, RigPosition, Show
from collection.road.overrides.queries import apply


@dataclass(frozen=True)
class Proposal:
    """What probably was played: the plan, the hours of the day sheet, who died."""

    pieces: list[tuple[str, str]]
    heating: frozenset[str]
    died: frozenset[str]
    initial: dict[str, Any]


def proposal(show: Show) -> Proposal:
    """The form of a show from its day sheet and the rig plan of that night; four queries."""
    positions = RigPosition.objects.filter(tour=show.tour).select_related(
        "piece__design", "piece__circuit"
    )
    planned = [position for position in apply(list(positions), show) if position.piece]
    pieces = [
        (position.piece.code, f"{position.piece.code} {position.piece.called}, {position.name}")
        for position in planned
    ]
    heating = frozenset(one.piece.code for one in planned if heats(one.piece))
    rows = list(Died.objects.filter(show=show).select_related("position__piece"))
    apply([row.position for row in rows], show)
    died = frozenset(row.position.piece.code for row in rows if row.position.piece)
    initial = {
        "troubled": sorted(died & {code for code, _ in pieces}),
        "heater_hours": heater_hours(show),
        "ht_hours": ht_hours(show),
    }
    return Proposal(list(dict(pieces).items()), heating, died, initial)


def heats(piece: Piece) -> bool:
    """Whether anything in it burns hours while nobody plays (common practice, no source).

    What is fed from the mains does, an organ too; an amplifier even where its mains are not
    written down, and an effect or microphone with a circuit. A guitar's circuit is its wiring.
    """
    if piece.mains_volts or (piece.circuit and piece.circuit.mains_volts):
        return True
    circuit_burns = {PieceKind.EFFECT, PieceKind.MICROPHONE}
    return piece.kind == PieceKind.AMPLIFIER or bool(piece.circuit and piece.kind in circuit_burns)


def of_show(show: Show) -> dict[str, Any]:
    """What the book says of a show: how it was played, who died, notes; three queries."""
    entries = Event.objects.filter(subject=show.subject, kind__in=["played", "noted"])
    known = list(entries.order_by("-sequence")[:50])
    deaths = list(Died.objects.filter(show=show).select_related("position__piece__design"))
    apply([died.position for died in deaths], show)
    return {
        "played": next((sentence_of(one) for one in known if one.kind == "played"), ""),
        "notes": [one for one in known if one.kind == "noted"],
        "deaths": deaths,
    }

"""What to say before a hand goes near something that hurts; common practice, no source.

Local codes and licensed practice decide; these are reminders and no instruction for the work.
"""

from dataclasses import dataclass

from collection.catalogue.models import Piece, PieceKind
from collection.core.state import State

OPENED = frozenset({"repaired", "modified", "inspected", "safety_tested", "tag_lifted"})
POWERED = frozenset({"inspected", "safety_tested", "tag_lifted"})
MODERN_FROM = 1990  # house rule: iron and capacitors older than this get the words about poisons


@dataclass(frozen=True)
class Caution:
    """A title that must be read and the words that follow it."""

    title: str
    words: str


LETHAL = Caution(
    "The voltages in here kill, and they stay after the plug is out.",
    "Plug out and where you can see it. Let the capacitors discharge, then prove it with a meter "
    "before a hand goes in. Never alone in the room. Only people trained and licensed for it "
    "open it; local code decides, not this page.",
)
OLD_PARTS = Caution(
    "Old parts poison and burst.",
    "Solder and paint of that age hold lead, capacitors may hold toxic oil or vent, heat shields "
    "and linings may be asbestos. No dust, no drilling, no food; wash hands.",
)
COLD = Caution(
    "Did it come in from the cold?",
    "Leave it closed until it is as warm as the room and dry. Only then power.",
)
LEADS = Caution(
    "A loudspeaker lead is not an instrument lead.",
    "They look alike; the thin one overheats and can take the output stage with it.",
)
RIBBON = Caution(
    "48 V off before a ribbon is patched.",
    "A crossed or worn lead puts phantom power across the ribbon and tears it. Look at the desk "
    "first, then plug.",
)


def cautions(piece: Piece, kind: str, state: State) -> tuple[Caution, ...]:
    """What stands between the words and the fields when this kind is recorded."""
    said = []
    if state.tag and not state.tag.proposed and kind in OPENED:
        said.append(_tagged(state.tag.reason))
    if _from_the_mains(piece):
        said += _inside(piece, kind)
    if piece.kind == PieceKind.CABINET and kind in OPENED:
        said.append(LEADS)
    if _is_ribbon(piece) and kind in OPENED | {"serviced", "settings_noted"}:
        said.append(RIBBON)
    return tuple(said)


def _tagged(reason: str) -> Caution:
    return Caution("DO NOT POWER hangs on it.", f"{reason}. It stays off until its check is done.")


def _inside(piece: Piece, kind: str) -> list[Caution]:
    said = [LETHAL] if kind in OPENED else []
    if kind in {"repaired", "modified"} and not _modern(piece):
        said.append(OLD_PARTS)
    if piece.kind == PieceKind.AMPLIFIER and kind in OPENED:
        said.append(_load(piece))
    if kind in POWERED:
        said.append(COLD)
    return said


def _load(piece: Piece) -> Caution:
    ohms = f" of {piece.load_ohms.normalize():f} Ω" if piece.load_ohms else ""
    return Caution(
        f"Never run it without its loudspeaker load{ohms}.",
        "A loudspeaker lead, not an instrument lead, plugged in before standby goes up.",
    )


def _from_the_mains(piece: Piece) -> bool:
    fed = piece.mains_volts or (piece.circuit and piece.circuit.mains_volts)
    return piece.kind == PieceKind.AMPLIFIER or bool(fed)


def _modern(piece: Piece) -> bool:
    return piece.built_from is not None and piece.built_from.year >= MODERN_FROM


def _is_ribbon(piece: Piece) -> bool:
    said = " ".join((piece.family, piece.name, piece.design.name if piece.design else ""))
    return piece.kind == PieceKind.MICROPHONE and "ribbon" in said.lower()

"""May this tube go into that place: asked when a change is planned, never of what was found.

A verdict rests on the table of types only. It cannot see how a socket was rewired or what a heater
winding can give, so 'near' names what to check and a person decides. House rules: a heater that
draws up to a fifth more than the socket's type is named, more is refused unless the two types are
known as near; a rectifier that raises the supply is refused.

Source: hazards of pin-outs and heaters from the data sheets of `tube_limits`; order of rectifiers
as given there. Lethal voltages: bias and supply are checked by people trained for it.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal

from collection.core.tube_limits import RECTIFIER_ORDER, SOLID_STATE, known, spelled
from collection.core.tube_records import TubeType

Level = Literal["same", "near", "wrong", "unknown"]

_MORE_HEATER: Final = 0.20
# A tube that leaves the socket's extra pin unused may stand in such a socket.
_PINS_THAT_SERVE: Final = frozenset({("octal, suppressor on pin 1", "octal, pin 1 free")})


@dataclass(frozen=True)
class Verdict:
    """Whether a type may stand in for another; `sentences` say what differs or why not."""

    level: Level
    sentences: tuple[str, ...] = ()


def substitution(socket_type: str, offered_type: str) -> Verdict:
    """Judge one type in a place wired for another.

    'same': itself or an exact equivalent. 'near': may serve, with what differs. 'wrong': must not,
    with every reason known. 'unknown': the table does not know one of them; ask a person.

    >>> substitution("12AX7", "ECC83").level
    'same'
    """
    socket, name = known(socket_type), spelled(offered_type)
    if spelled(socket_type) == name:
        return Verdict("same")
    if socket is None:
        return Verdict("unknown", (f"Nothing is known here of a {socket_type}.",))
    if name in socket.never:
        return Verdict("wrong", (f"{offered_type}: {socket.never[name]}.",))
    if name in socket.same_as or name == socket.type:
        return _equivalent(socket_type, offered_type, socket)
    return _other(socket, offered_type)


def _equivalent(socket_type: str, offered_type: str, socket: TubeType) -> Verdict:
    """Exact equivalents, but for a lower limit printed under the offered name."""
    limits = {limit.type: limit.plate_watts for limit in socket.limits}
    before, after = limits.get(spelled(socket_type)), limits.get(spelled(offered_type))
    if before is None or after is None or after >= before:
        return Verdict("same")
    return Verdict("near", (_lower(offered_type, after, before),))


def _other(socket: TubeType, offered_type: str) -> Verdict:
    name = spelled(offered_type)
    if socket.does == "rectifier" and name == SOLID_STATE:
        return Verdict("wrong", (_raises(socket, offered_type),))
    listed = socket.near.get(name)
    offered = known(offered_type)
    if offered is None:
        if listed:
            return Verdict("near", (f"{offered_type}: {listed}.",))
        return Verdict("unknown", (f"Nothing is known here of a {offered_type}.",))
    listed = listed or socket.near.get(offered.type)
    reasons = _against(socket, offered, offered_type, is_listed=listed is not None)
    if reasons:
        return Verdict("wrong", reasons)
    return Verdict("near", _differences(socket, offered, offered_type, listed))


def _against(socket: TubeType, offered: TubeType, name: str, *, is_listed: bool) -> tuple[str, ...]:
    """Every reason why it must not be done."""
    reasons: list[str] = []
    if offered.base != socket.base:
        reasons.append(f"A {name} has a {offered.base} base, the socket is {socket.base}.")
    elif offered.pins != socket.pins and (socket.pins, offered.pins) not in _PINS_THAT_SERVE:
        reasons.append(
            f"Another pin-out: {name} is {offered.pins}, the socket is wired for {socket.pins}."
        )
    more = _more_heater(socket, offered)
    if more > _MORE_HEATER and not is_listed:
        reasons.append(f"{_heater(socket, offered, name)}: too much for the winding.")
    if _is_higher(offered, socket):
        reasons.append(_raises(socket, name))
    if not is_listed and _is_weaker(socket, offered):
        reasons.append(_lower(name, offered.plate_watts, socket.plate_watts))
    return tuple(reasons)


def _differences(
    socket: TubeType, offered: TubeType, name: str, listed: str | None
) -> tuple[str, ...]:
    """What to know before it is done."""
    told = [f"{name}: {listed}." if listed else f"A {name} is another type in the same socket."]
    if _more_heater(socket, offered) > 0:
        told.append(f"{_heater(socket, offered, name)}: check the winding.")
    if socket.does == "rectifier":
        told += _weaker_rectifier(socket, offered, name)
    elif _is_weaker(socket, offered):
        told.append(_lower(name, offered.plate_watts, socket.plate_watts))
    if socket.does == "output tube":
        told.append("Set the bias anew.")
    elif socket.does == "twin triode" and not listed:
        told.append("Gain and current differ.")
    return tuple(told)


def _weaker_rectifier(socket: TubeType, offered: TubeType, name: str) -> list[str]:
    told = [f"A {name} gives a lower supply than a {socket.type}."]
    if socket.dc_ma and offered.dc_ma and offered.dc_ma < socket.dc_ma:
        told.append(f"It passes {offered.dc_ma} mA at most, a {socket.type} {socket.dc_ma} mA.")
    return told


def _is_higher(offered: TubeType, socket: TubeType) -> bool:
    if offered.type not in RECTIFIER_ORDER or socket.type not in RECTIFIER_ORDER:
        return False
    return RECTIFIER_ORDER.index(offered.type) < RECTIFIER_ORDER.index(socket.type)


def _raises(socket: TubeType, name: str) -> str:
    return (
        f"{name.capitalize() if name.islower() else name} raises the supply over that of a "
        f"{socket.type}: capacitors, bias and output tubes would have to be checked first."
    )


def _is_weaker(socket: TubeType, offered: TubeType) -> bool:
    ours, theirs = socket.plate_watts, offered.plate_watts
    return socket.does == "output tube" and bool(ours and theirs and theirs < ours)


def _lower(name: str, theirs: float | None, ours: float | None) -> str:
    return f"A {name} is rated {theirs:g} W a plate, the place is for {ours:g} W."


def _more_heater(socket: TubeType, offered: TubeType) -> float:
    """How much more current, as a share; at the lowest volts, which both are fed in most places."""
    return offered.heaters[0].amps / socket.heaters[0].amps - 1


def _heater(socket: TubeType, offered: TubeType, name: str) -> str:
    ours, theirs = socket.heaters[0], offered.heaters[0]
    more = theirs.amps - ours.amps
    return f"A {name} heater draws {theirs.amps:g} A instead of {ours.amps:g} A ({more:+.2f} A)"

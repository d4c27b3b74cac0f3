"""`measured`: idle currents and volts of output tubes were read, with how they were read."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import ClassVar, Final

from collection.core.events.kind import Kind, States, gone, powered_under_tag

METHODS: Final[Mapping[str, str]] = {
    "probe": "probe at the cathode",
    "resistor": "volts across a cathode resistor",
    "plate": "in the plate lead",
    "shunt": "meter across half the primary",
}
AT_PLATE: Final = frozenset({"plate", "shunt"})
MOST_SOCKETS: Final = 8


@dataclass(frozen=True)
class SocketRead:
    """What was read at one socket, decimals as text and '' where nobody read it.

    `ma` is what the meter showed for this tube alone: across a resistor of one ohm nominal its
    millivolts, which `resistor_ohms`, as measured, turns into milliamperes.
    """

    position: str
    type: str = ""
    part: str = ""
    plate_volts: str = ""
    cathode_volts: str = ""
    ma: str = ""
    screen_ma: str = ""
    resistor_ohms: str = ""

    def row(self) -> tuple[str, ...]:
        """As it goes into the book."""
        return (
            self.position, self.type, self.part, self.plate_volts, self.cathode_volts, self.ma,
            self.screen_ma, self.resistor_ohms,
        )  # fmt: skip


@dataclass(frozen=True)
class Measured(Kind):
    """Subject: the piece. `sockets`: rows of `SocketRead`.

    `bias`: 'fixed' (one control), 'own' (a trimmer each), 'cathode' (it sets itself). `shared_by`:
    so many tubes share one cathode resistor, whose volts stand as cathode volts. `bias_volts`: at
    the one control. `sure`: positions whose odd reading was said to be right.
    """

    kind: ClassVar[str] = "measured"
    bystanders: ClassVar[frozenset[str]] = frozenset(f"part-{n + 1}" for n in range(MOST_SOCKETS))
    bias: str
    method: str
    sockets: tuple[tuple[str, ...], ...]
    mains_volts: str = ""
    minutes_warm: int | None = None
    meter: str = ""
    bias_volts: str = ""
    shared_by: int = 1
    sure: tuple[str, ...] = ()

    @property
    def reads(self) -> tuple[SocketRead, ...]:
        """The rows by name."""
        return tuple(SocketRead(*row) for row in self.sockets)

    @property
    def at_cathode(self) -> bool:
        """Whether the current read holds the screen's part."""
        return self.method not in AT_PLATE

    def names(self) -> dict[str, str]:
        """The parts that sat in the sockets."""
        parts = dict.fromkeys(read.part for read in self.reads if read.part)
        return {f"part-{n}": code for n, code in enumerate(parts, start=1)}

    def problems(self, states: States) -> tuple[str, ...]:
        """Read on something that has left or must not be powered, or with another's part."""
        subject = states["subject"]
        found = gone(subject, "was measured") + powered_under_tag(subject, "was powered to read it")
        inside = {part for part, _ in subject.fitted}
        others = [code for code in self.names().values() if code not in inside]
        return found + tuple(f"The book does not have {code} in here." for code in others)

    def sentence(self) -> str:
        """Currents per socket, volts, mains, minutes warm, how and with what."""
        read = ", ".join(f"{one.position} {one.ma} mA" for one in self.reads if one.ma)
        how = [read or self._shared(), self._plate_volts()]
        how += [f"mains {self.mains_volts} V"] if self.mains_volts else []
        how += [f"{self.minutes_warm} min warm"] if self.minutes_warm is not None else []
        how += [METHODS.get(self.method, self.method)]
        how += [f"meter {self.meter}"] if self.meter else []
        return f"Read at idle: {', '.join(one for one in how if one)}."

    def _shared(self) -> str:
        first = self.reads[0] if self.reads else SocketRead("")
        if not (first.cathode_volts and first.resistor_ohms):
            return "volts only"
        return f"{first.cathode_volts} V across {first.resistor_ohms} Ω shared by {self.shared_by}"

    def _plate_volts(self) -> str:
        volts = dict.fromkeys(one.plate_volts for one in self.reads if one.plate_volts)
        return f"plate {' and '.join(volts)} V" if volts else ""

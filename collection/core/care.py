"""Presets of care that comes round, each with what it rests on; a person chooses, with a reason.

None of these is *the* interval. `SOURCES`: 'read' was read in the named kind of source, which is
kept in words since pages move; 'practice' is common practice, no source; 'memory' is from memory.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import Final, Literal

Mark = Literal["read", "practice", "memory"]
MARKS: Final[dict[Mark, str]] = {
    "read": "read",
    "practice": "common practice, no source",
    "memory": "from memory, no source",
}
OUTPUT_TUBES: Final = "output tubes"


@dataclass(frozen=True)
class Care:
    """Work that comes round.

    `options`: intervals somebody uses, in the unit of `measured_by` (a key of `due.MEASURES`),
    empty when no figure is known. `kinds`: kinds of piece; `family`: words of its family,
    between commas. `asks`: what has to be measured or looked at; `opens`: a hand goes inside.
    """

    key: str
    what: str
    kinds: tuple[str, ...]
    measured_by: str
    options: tuple[Decimal, ...]
    basis: str
    mark: Mark
    family: str = ""
    consumes: str = ""
    asks: str = ""
    opens: bool = False
    after_what: str = ""
    done_by: str = "serviced"


def _of(*numbers: int) -> tuple[Decimal, ...]:
    return tuple(map(Decimal, numbers))


_AMPS: Final = ("amplifier",)
_POWERED: Final = ("amplifier", "effect")

# Figures from accounts and pages read once (see each basis); nobody vouches for them here.
PRESETS: Final[tuple[Care, ...]] = (
    Care(
        "strings", "strings", ("instrument",), "shows", _of(1, 2),
        "Every show, or every second one, by player: two touring technicians’ accounts, 2006 "
        "and 2007.",
        "read", family="steel, guitar", consumes="set of strings",
    ),
    Care(
        "intonation", "intonation checked", ("instrument",), "days", _of(3, 7),
        "‘Every few days’ on tour: a touring technician’s account, 2006; the numbers are ours.",
        "read", family="guitar",
    ),
    Care(
        "frets", "fret work looked at", ("instrument",), "days", _of(1095, 3650),
        "A dressing every 3 to 10 years by use, 5 to 10 years of heavy use to new frets: two "
        "repairers’ pages. Decided by measured height and feel, not by the calendar.",
        "read", family="guitar", asks="Fret height in mm at 1, 7 and 12, and how it feels",
    ),
    Care(
        "output-tubes", OUTPUT_TUBES, _AMPS, "ht-hours", _of(60, 500, 750),
        "500 to 750 h, or one to two years of hard playing: two tube dealers’ pages; some change "
        "every few concerts. About 60 h is one touring practice, no source.",
        "read", consumes="set of output tubes", opens=True, asks="Which set, from which lot",
    ),
    Care(
        "burn-in", "output tubes burnt in", _AMPS, "after", _of(1),
        "No source for a burn-in standard was found; a house rule after each new set.",
        "practice", after_what=OUTPUT_TUBES, opens=True,
        asks="Hours on the bench, current at the start and at the end",
    ),
    Care(
        "bias-after", "bias checked", _AMPS, "after", _of(1),
        "At every change of output tubes.",
        "practice", after_what=OUTPUT_TUBES, opens=True,
        asks="Current per tube, plate volts, mains volts, minutes warm",
    ),
    Care(
        "bias", "bias checked", _AMPS, "days", _of(30),
        "Monthly on tour, and before one.",
        "practice", opens=True, asks="Current per tube, plate volts, mains volts, minutes warm",
    ),
    Care(
        "preamp-tubes", "preamp tubes listened to", _AMPS, "ht-hours", (),
        "When noisy; a fixed number of hours is called a myth by two makers’ and dealers’ texts.",
        "read", asks="Which socket hisses, crackles or rings when tapped",
    ),
    Care(
        "capacitors", "capacitors looked at", _POWERED, "days", _of(2920, 3650, 5475),
        "8 to 10 years typical, 15 as a limit, 20 to 40 elsewhere: three pages that do not "
        "agree. Inspect from ten years; the inspection decides.",
        "read", opens=True, asks="Bulges, leaks, hum, readings; which were replaced",
    ),
    Care(
        "tape-path", "tape path cleaned", ("effect",), "shows", _of(1, 2),
        "Each session, or about every 5 h: two universities’ studio pages and a magazine, 1986.",
        "read", family="echo",
    ),
    Care(
        "demagnetised", "demagnetised", ("effect",), "heater-hours", _of(50, 100),
        "Every 50 to 100 h, weekly in a busy room: a magazine of April 1986 and a university’s "
        "studio page.",
        "read", family="echo",
    ),
    Care(
        "tape-loop", "tape loop", ("effect",), "heater-hours", _of(200, 300),
        "When shed, creased or dull; 200 to 300 h. That loops wear out: a repairer’s page.",
        "memory", family="echo", consumes="tape loop", asks="Length, tape, how the old one looked",
    ),
    Care(
        "pinch-roller", "pinch roller and felts looked at", ("effect",), "after", _of(1),
        "At each change of the loop; a hard or bowed roller slips, alcohol dries rubber: two "
        "forum threads.",
        "read", family="echo", after_what="tape loop", asks="Hard, bowed, shiny; felts worn",
    ),
    Care(
        "contacts", "sockets, pots and jacks cleaned", _POWERED, "days", _of(365),
        "Yearly, or on a fault.",
        "practice", opens=True, asks="Which, and with what",
    ),
    Care(
        "power-up", "powered up in store", _POWERED, "days", _of(90, 180),
        "Every 3 to 6 months; idle electrolytics lose their oxide: a hobby page. After years, "
        "slowly and by somebody trained for it.",
        "practice", done_by="inspected",
    ),
    Care(
        "safety", "mains safety test", _POWERED, "days", (),
        "Local code and a licensed tester decide how often.",
        "practice", done_by="safety_tested",
    ),
)  # fmt: skip


def preset(key: str) -> Care | None:
    """The preset of a key."""
    return next((care for care in PRESETS if care.key == key), None)

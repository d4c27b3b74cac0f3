"""Which lines a settings sheet or a set-up sheet has, for each kind of piece.

House lists after common practice, no source: what technicians write down for a guitar, a lap
steel, a tape echo, a pair of ribbon microphones, a reed organ, an amplifier. A sheet may carry
lines of its own beside them.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

SETTINGS, SET_UP = "settings_noted", "set_up"
CLOCK = (
    "shut", "7 o’clock", "half past 7", "8 o’clock", "half past 8", "9 o’clock", "half past 9",
    "10 o’clock", "half past 10", "11 o’clock", "half past 11", "12 o’clock", "half past 12",
    "1 o’clock", "half past 1", "2 o’clock", "half past 2", "3 o’clock", "half past 3",
    "4 o’clock", "half past 4", "5 o’clock", "full",
)  # fmt: skip
UP_DOWN = ("up", "down")
ON_OFF = ("on", "off")
OWN_LINES = "Also on the sheet"


@dataclass(frozen=True)
class SheetLine:
    """One line: what it is of, the words it may take, how to measure it."""

    name: str
    offers: tuple[str, ...] = ()
    hint: str = ""


@dataclass(frozen=True)
class SheetGroup:
    """Lines under a heading, in the order of walking round the piece."""

    heading: str
    lines: tuple[SheetLine, ...]


Layout = tuple[SheetGroup, ...]


def _lines(*names: str, offers: tuple[str, ...] = ()) -> tuple[SheetLine, ...]:
    return tuple(SheetLine(name, offers) for name in names)


_AROUND = SheetGroup("Around it", (SheetLine("place", hint="where it stands, which tape"),))
_AMPLIFIER_PANEL = ("input", "volume", "treble", "bass", "standby")
_AMPLIFIER_BACK = SheetGroup(
    "The back",
    (
        SheetLine("load", ("4 Ω", "8 Ω", "16 Ω"), "and which jack"),
        SheetLine("cabinet"),
        SheetLine("mains", ("230 V",), "selector and which lead"),
        SheetLine("fuse", hint="value and slow or fast"),
        SheetLine("bias", hint="as last read"),
    ),
)
_STRINGED = (
    SheetLine("string gauge", hint="from the first string on"),
    SheetLine("tuning"),
    SheetLine("pickup height", hint="bass / treble side, mm, strings pressed at the last fret"),
)
_GUITAR: Layout = (
    SheetGroup(
        "Neck and frets",
        (
            SheetLine("relief", hint="mm at the 7th fret, first and last fret pressed"),
            SheetLine("action at the 12th", hint="bass / treble side, mm"),
            SheetLine("fret height", hint="lowest and highest, mm"),
            SheetLine("intonation", hint="which string is off, by how many cents"),
        ),
    ),
    SheetGroup("Strings and pickups", _STRINGED),
)
_LAP_STEEL: Layout = (
    SheetGroup(
        "Strings",
        (
            SheetLine("string height", hint="over the board, mm"),
            SheetLine("nut", hint="extension or fixed, spacing in mm"),
            *_STRINGED,
        ),
    ),
    SheetGroup("Stand", (SheetLine("leg length", hint="mm, and which hole"), SheetLine("bar"))),
)
_ECHO_SET_UP: Layout = (
    SheetGroup(
        "Transport",
        (
            SheetLine("loop length", hint="mm or inches, and the make of tape"),
            SheetLine("loop age", hint="hours or shows since it was spliced"),
            SheetLine("heads", hint="cleaned, worn, which one is weak"),
            SheetLine("pinch roller", hint="pressure, glaze"),
        ),
    ),
    SheetGroup("Mains", (SheetLine("mains", ("230 V, 50 Hz",), "volts and hertz"),)),
)
_RIBBON: Layout = (
    SheetGroup(
        "At the microphone",
        (
            SheetLine("distance", hint="from the source, cm"),
            SheetLine("angle", hint="off the axis, degrees"),
            SheetLine("the other of the pair", hint="code, distance between the two"),
        ),
    ),
    SheetGroup(
        "At the desk",
        (
            SheetLine("48 V", ("off",), "off on every line of a ribbon"),
            SheetLine("pad", ("off", "−10 dB", "−20 dB")),
            SheetLine("phase", ("as it is", "turned")),
            SheetLine("line"),
        ),
    ),
)
_CONDENSER: Layout = (
    _RIBBON[0],
    SheetGroup(
        "At the desk",
        (
            SheetLine("feed", ("its own supply", "48 V")),
            SheetLine("pattern"),
            SheetLine("pad", ("off", "−10 dB", "−20 dB")),
            SheetLine("phase", ("as it is", "turned")),
            SheetLine("line"),
        ),
    ),
)

_SETTINGS: Mapping[str, tuple[tuple[str, ...], Layout]] = {
    # family or kind: (panel where the design has none, groups after the panel)
    "amplifier": (_AMPLIFIER_PANEL, (_AMPLIFIER_BACK, _AROUND)),
    "tape echo": (("speed", "heads", "repeats", "mix", "level"), (_AROUND,)),
    "reed organ": (("stops", "swell", "coupler", "blower"), (_AROUND,)),
    "ribbon microphone": ((), _RIBBON),
    "condenser microphone": ((), _CONDENSER),
    "microphone": ((), _CONDENSER),
    "cabinet": ((), (SheetGroup("The back", _lines("load", "jack", "lead")), _AROUND)),
    "lap steel": (("volume", "tone"), ()),
    "instrument": (("volume", "tone", "pickup switch"), ()),
}
_SET_UP: Mapping[str, Layout] = {
    "lap steel": _LAP_STEEL,
    "tape echo": _ECHO_SET_UP,
    "reed organ": (
        SheetGroup(
            "Wind",
            (
                SheetLine("bellows", hint="leather, leaks, how long they hold"),
                SheetLine("blower", ("on", "off"), "speed, mains, hum"),
                SheetLine("reeds", hint="which are slow or silent"),
            ),
        ),
    ),
    "instrument": _GUITAR,
}
_OFFERED: Mapping[str, tuple[str, ...]] = {
    "standby": UP_DOWN,
    "power": ON_OFF,
    "blower": ON_OFF,
    "input": ("high", "low"),
    "speed": ("slow", "middle", "fast"),
    "heads": ("1", "2", "3", "1 + 2", "2 + 3", "all"),
    "stops": (),
}


def layout(sheet: str, *, kind: str, family: str, panel: Sequence[str] = ()) -> Layout:
    """The groups of a sheet for a piece; () when that kind of piece has no such sheet.

    `sheet`: SETTINGS or SET_UP. `panel`: the controls of its design, in order, where known.

    >>> [group.heading for group in layout(SETTINGS, kind="amplifier", family="head")]
    ['The panel', 'The back', 'Around it']

    Raises:
        ValueError: a sheet that is neither of the two.
    """
    if sheet == SET_UP:
        return _SET_UP.get(family) or _SET_UP.get(kind) or ()
    if sheet != SETTINGS:
        raise ValueError(f"no sheet is called {sheet!r}; accepted: {SETTINGS}, {SET_UP}")
    usual, rest = _SETTINGS.get(family) or _SETTINGS.get(kind) or ((), ())
    controls = tuple(panel) or usual
    if not controls:
        return rest
    return (SheetGroup("The panel", tuple(_control(name) for name in controls)), *rest)


def _control(name: str) -> SheetLine:
    """A control of a panel; what is no switch is a knob and takes a clock position."""
    return SheetLine(name, _OFFERED.get(name.casefold(), CLOCK))


def with_own_lines(groups: Layout, names: Iterable[str]) -> Layout:
    """The layout with a last group for names that no line of it has."""
    known = {line.name for group in groups for line in group.lines}
    own = tuple(SheetLine(name) for name in dict.fromkeys(names) if name not in known)
    return (*groups, SheetGroup(OWN_LINES, own)) if own else groups

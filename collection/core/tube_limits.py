"""Published limits of common tube types, each figure with its sheet and rating system.

Figures were read in open transcriptions of the data sheets, so each names the sheet to confirm it
in; 'from memory' where not even that was at hand. Where sheets differ all figures are kept. Plate
limits are per plate. Volts and amperes of heaters are nominal.

Source: the sheets named beside each figure. Rating systems: JEDEC Publication 37 / EIA TEP137
(1962) and EIA RS-239-A (1963).
"""

from __future__ import annotations

from typing import Final

from collection.core.tube_records import Heater, PlateLimit, TubeType

_M: Final = "from memory"
_TWIN_NOVAL, _TWIN_OCTAL = "twin triode, heater tapped on 9", "twin triode, octal"
_BEAM, _PENTODE = "octal, pin 1 free", "octal, suppressor on pin 1"
_NOVAL_OUTPUT, _RECTIFIER = "noval output pentode", "full-wave rectifier on 2 and 8"
_PREAMP_HEATER = (Heater(6.3, 0.30), Heater(12.6, 0.15))
_THRIFTY = "heater 0.35 A at 6.3 V instead of 0.30 A (from memory)"

TUBE_TYPES: Final = (
    TubeType(
        "12AX7", "twin triode", "noval", _TWIN_NOVAL, _PREAMP_HEATER,
        limits=(
            PlateLimit("12AX7", 1.0, "design-centre", "Philips ECC83, 1954"),
            PlateLimit("ECC83", 1.0, "design-centre", "Philips ECC83, 1954"),
            PlateLimit("7025", 1.0, "not stated", "RCA 12AX7A, Data 1, 10-60"),
            PlateLimit("12AX7A", 1.2, "design-maximum", "RCA 12AX7A, Data 1, 10-60"),
        ),
        same_as=("ECC83", "7025"),
        near={"12AX7A": "rated 1.2 W design-maximum instead of 1.0 W",
              "5751": f"less gain, {_THRIFTY}"},
        never={"6N2P": "pin 9 is a shield, and the heater takes 6.3 V between 4 and 5 only"},
        other_limits="plate 300 V design-centre or 330 V design-maximum; cathode 8 mA",
    ),
    TubeType(
        "12AX7A", "twin triode", "noval", _TWIN_NOVAL, _PREAMP_HEATER,
        limits=(PlateLimit("12AX7A", 1.2, "design-maximum", "RCA 12AX7A, Data 1, 10-60"),),
        near={"12AX7": "rated 1.0 W design-centre instead of 1.2 W design-maximum",
              "5751": f"less gain, {_THRIFTY}"},
        never={"6N2P": "pin 9 is a shield, and the heater takes 6.3 V between 4 and 5 only"},
    ),
    TubeType(
        "12AT7", "twin triode", "noval", _TWIN_NOVAL, _PREAMP_HEATER,
        limits=(PlateLimit("12AT7", 2.5, "not stated", "RCA RC-30; Philips ECC81"),),
        same_as=("ECC81",),
        near={"6201": "special quality", "CV4024": "special quality"},
        other_limits="plate 300 V; cathode 15 mA",
    ),
    TubeType(
        "12AY7", "twin triode", "noval", _TWIN_NOVAL, _PREAMP_HEATER,
        limits=(PlateLimit("12AY7", 1.5, "not stated", "RCA 12AY7; GE 6072"),),
        near={"6072": _THRIFTY},
        other_limits="plate 300 V; cathode about 10 to 12 mA",
    ),
    TubeType(
        "12AU7", "twin triode", "noval", _TWIN_NOVAL, _PREAMP_HEATER,
        limits=(
            PlateLimit("12AU7", 2.75, "design-maximum", "RCA 12AU7A"),
            PlateLimit("ECC82", 2.5, "not stated", "Philips ECC82", _M),
        ),
        same_as=("ECC82",), near={"5814A": _THRIFTY},
        other_limits="plate 330 V design-maximum; cathode 20 mA",
    ),
    TubeType(
        "6SN7GT", "twin triode", "octal", _TWIN_OCTAL, (Heater(6.3, 0.60),),
        limits=(
            PlateLimit("6SN7GT", 2.5, "not stated", "RCA 6SN7GTB"),
            PlateLimit("6SN7GTB", 5.0, "not stated", "RCA 6SN7GTB", _M),
        ),
        same_as=("6SN7GTB",), near={"5692": "special quality of the same family"},
        other_limits="plate 300 V; cathode 20 mA",
    ),
    TubeType(
        "6SL7GT", "twin triode", "octal", _TWIN_OCTAL, (Heater(6.3, 0.30),),
        limits=(PlateLimit("6SL7GT", 1.0, "not stated", "RCA 6SL7GT"),),
        near={"ECC35": "near, not the same"},
        other_limits="plate 300 V; cathode 8 mA",
    ),
    TubeType(
        "EF86", "pentode", "noval", "noval pentode", (Heater(6.3, 0.20, _M),),
        limits=(PlateLimit("EF86", 1.0, "not stated", "Philips EF86", _M),), same_as=("6267",),
    ),
    TubeType(
        "6V6GT", "output tube", "octal", _BEAM, (Heater(6.3, 0.45),),
        limits=(PlateLimit("6V6GT", 12, "design-centre", "RCA RC-30"),),
        same_as=("6V6GTA",), near={"6P6S": "near, not the same"},
        other_limits="plate 315 V, screen 285 V design-centre",
    ),
    TubeType(
        "6V6GTA", "output tube", "octal", _BEAM, (Heater(6.3, 0.45),),
        limits=(PlateLimit("6V6GTA", 14, "design-maximum", "RCA RC-30; GE ET-T941 from memory"),),
        near={"6V6GT": "rated 12 W design-centre instead of 14 W design-maximum",
              "6P6S": "near, not the same"},
        other_limits="plate 350 V, screen 315 V design-maximum",
    ),
    TubeType(
        "EL84", "output tube", "noval", _NOVAL_OUTPUT, (Heater(6.3, 0.76),),
        limits=(
            PlateLimit("EL84", 12, "design-centre", "Philips/Mullard EL84; RCA 6BQ5"),
            PlateLimit("6P14P", 14, "not stated", "sheet not named"),
        ),
        same_as=("6BQ5", "N709"),
        near={"7189": "stands higher plate volts", "6P14P": "rated 14 W; near, not the same"},
        other_limits="plate 300 V; cathode 65 mA; screen 2 W",
    ),
    TubeType(
        "EL34", "output tube", "octal", _PENTODE, (Heater(6.3, 1.5),),
        limits=(PlateLimit("EL34", 25, "design-centre", "Philips/Mullard EL34"),),
        same_as=("6CA7",), near={"KT77": "near, not the same: check bias and screen"},
        other_limits="plate 800 V; screen 425 V; cathode 150 mA; screen 8 W from memory",
    ),
    TubeType(
        "KT66", "output tube", "octal", _BEAM, (Heater(6.3, 1.27),),
        limits=(
            PlateLimit("KT66", 25, "design-maximum", "GEC KT66"),
            PlateLimit("KT66", 30, "absolute", "GEC KT66", _M),
        ),
        near={"6L6GC": "near: check the bias"}, other_limits="plate 500 V",
    ),
    TubeType(
        "6L6", "output tube", "octal", _BEAM, (Heater(6.3, 0.90),),
        limits=(
            PlateLimit("6L6", 19, "not stated", "RCA 6L6"),
            PlateLimit("6L6GB", 19, "not stated", "RCA 6L6", _M),
        ),
        same_as=("6L6G", "6L6GA", "6L6GB"),
        near={"5881": "near: check the bias", "KT66": "near: check the bias",
              "6L6GC": "rated higher: check the bias"},
    ),
    TubeType(
        "5881", "output tube", "octal", _BEAM, (Heater(6.3, 0.90),),
        limits=(
            PlateLimit("5881", 23, "design-centre", "Tung-Sol 5881", _M,
                       "makers differ, 19 to 25 W; 25 W is doubted"),
        ),
        near={"6L6WGB": "near: check the bias", "6L6GC": "rated higher: check the bias"},
    ),
    TubeType(
        "6L6GC", "output tube", "octal", _BEAM, (Heater(6.3, 0.90),),
        limits=(
            PlateLimit("6L6GC", 30, "design-maximum", "GE ET-T1515; RCA 6L6GC",
                       note="about 26 W as design-centre"),
        ),
        near={"7581A": "rated 35 W: check the bias", "KT66": "near: check the bias",
              "5881": "near: check the bias", "6L6": "near: check the bias"},
        other_limits="plate 500 V; screen 450 V; cathode 110 mA; screen 5 W from memory",
    ),
    TubeType(
        "6550", "output tube", "octal", _BEAM, (Heater(6.3, 1.6),),
        limits=(
            PlateLimit("6550", 35, "design-centre", "Tung-Sol 6550"),
            PlateLimit("6550A", 42, "design-maximum", "GE 6550A"),
        ),
        same_as=("6550A",), near={"KT88": "near: check the bias"},
    ),
    TubeType(
        "KT88", "output tube", "octal", _BEAM, (Heater(6.3, 1.6),),
        limits=(
            PlateLimit("KT88", 35, "design-maximum", "GEC KT88", _M),
            PlateLimit("KT88", 42, "absolute", "GEC KT88", _M,
                       "a transcription gives 42 W without saying which system"),
        ),
        near={"6550": "near: check the bias"},
        other_limits="plate 800 V; screen 600 V; cathode 230 mA",
    ),
    TubeType(
        "GZ34", "rectifier", "octal", _RECTIFIER, (Heater(5.0, 1.9),), same_as=("5AR4",),
        dc_ma=250, other_limits="550 V rms a plate (Philips/Mullard GZ34); warms up slowly",
    ),
    TubeType(
        "GZ37", "rectifier", "octal", _RECTIFIER, (Heater(5.0, 3.0),),
    ),
    TubeType(
        "5V4G", "rectifier", "octal", _RECTIFIER, (Heater(5.0, 2.0, _M),), same_as=("5V4",),
    ),
    TubeType(
        "5U4G", "rectifier", "octal", _RECTIFIER, (Heater(5.0, 3.0),),
        same_as=("5U4", "5U4GB"), dc_ma=225,
        other_limits="450 to 550 V rms a plate (RCA 5U4GB); the GB 275 mA from memory",
    ),
    TubeType(
        "5R4GY", "rectifier", "octal", _RECTIFIER, (Heater(5.0, 2.0, _M),), same_as=("5R4",),
    ),
    TubeType(
        "5Y3GT", "rectifier", "octal", _RECTIFIER, (Heater(5.0, 2.0, _M),), same_as=("5Y3",),
        dc_ma=125, other_limits="RCA 5Y3GT",
    ),
)  # fmt: skip

SOLID_STATE: Final = "solid state"
# Highest B+ first. Source: notes on rectifiers at kcanostubes.com; where sheets differ, they win.
RECTIFIER_ORDER: Final = (SOLID_STATE, "GZ34", "GZ37", "5V4G", "5U4G", "5R4GY", "5Y3GT")

_BY_NAME: Final = {record.type: record for record in TUBE_TYPES}
_ALIASES: Final = {
    name: record for record in TUBE_TYPES for name in record.same_as if name not in _BY_NAME
}


def known(name: str) -> TubeType | None:
    """What is known of a type under its own name or an exact equivalent's; None where nothing is.

    >>> known("ecc83").type
    '12AX7'
    """
    cleaned = spelled(name)
    return _BY_NAME.get(cleaned) or _ALIASES.get(cleaned)


def spelled(name: str) -> str:
    """A type's name as the table spells it: capitals, without spaces, dashes and slashes."""
    if name.strip().lower().replace("-", " ") == SOLID_STATE:
        return SOLID_STATE
    return "".join(letter for letter in name.upper() if letter.isascii() and letter.isalnum())

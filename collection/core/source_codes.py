"""Makers' numbers in source-date codes, each with where it was read.

The authority is the list of source codes kept by the trade body (RMA 1946, RETMA, EIA, ECIA; last
edition 2001): every row here still has to be confirmed against it. Rows that other lists contradict
are kept with both readings.

Source: as named in each row; the pages are dating articles of modest trust.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

_M: Final = "from memory"
_POTS = "dating articles on pots and speakers, 24or.ru copy and 300guitars.com"
_TUBES = "a list of tube makers' codes, wy9.co.uk"
_LISTS: Final[dict[str, dict[str, str]]] = {
    _POTS: {
        "106": "Allen-Bradley", "117": "Credence", "134": "Centralab", "137": "CTS",
        "140": "Clarostat", "145": "Illinois Capacitor", "304": "Stackpole", "328": "Utah",
        "381": "Bourns", "391": "Altec", "465": "Oxford", "606": "Schumacher",
        "649": "Electro-Voice",
    },
    "the maker's own answers, eminence.com": {"67": "Eminence"},
    "an organ dating page, xewece": {"190": "General Instrument", "285": "Rola"},
    "an amplifier dating page, groupe-ssp copy": {"235": "Mallory", "834": "Mel-Rain"},
    _TUBES: {
        "111": "Amperex", "125": "Bendix", "158": "DuMont", "162": "Eimac",
        "188": "General Electric", "210": "CBS-Hytron", "247": "National Union", "260": "Philco",
        "274": "RCA", "280": "Raytheon", "312": "Sylvania", "322": "Tung-Sol", "323": "United",
        "336": "Western Electric", "337": "Westinghouse", "343": "Zenith", "423": "Philips ECG",
        "443": "ITT", "713": "Cetron", "749": "National",
    },
    _M: {
        "185": "Motorola", "213": "Dearborn", "232": "Magnavox", "251": "Ohmite",
        "270": "Quam-Nichols", "433": "Cleveland", "549": "Midwest", "706": "Pyle",
        "1098": "Pyle", "719": "Carbonneau", "757": "Sparton", "830": "Triad",
        "847": "University",
    },
}  # fmt: skip
# Two lists give one maker two numbers: neither is taken for the right one.
_DISPUTED: Final = {
    "575": ("Heppner", "stereophile.com", "other lists give Heppner 416"),
    "416": ("Heppner", _M, "the article read gives Heppner 575"),
}
_DOUBTS: Final = {"328": "one list says Utah/Oxford"}


@dataclass(frozen=True)
class SourceCode:
    """One maker's number: who, where it was read ('from memory' where nowhere), what is doubted."""

    code: str
    maker: str
    source: str
    doubt: str = ""


SOURCE_CODES: Final[dict[str, SourceCode]] = {
    code: SourceCode(code, maker, source, _DOUBTS.get(code, ""))
    for source, makers in _LISTS.items()
    for code, maker in makers.items()
} | {
    code: SourceCode(code, maker, source, doubt)
    for code, (maker, source, doubt) in _DISPUTED.items()
}

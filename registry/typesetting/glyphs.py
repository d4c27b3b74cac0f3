"""Characters that no shipped font can show, made visible instead of stopping the paper.

The compiler refuses a PDF/A in which one character has no glyph. Somebody's name is no reason to
go without a dossier, so such a character is printed as its number: '[U+4E2D]'. What the fonts can
show is asked of the compiler itself, since a table of ours would be wrong after its next release.
"""

import json
import re
import unicodedata
from collections.abc import Iterable
from typing import Any

import typst

_PROBE = b"#for c in json(bytes(sys.inputs.data)) { par(c) }"
_MISSING = re.compile(r'the text `"((?:\\.|[^"\\])+)"` could not be displayed')
_ESCAPED = re.compile(r"\\u\{([0-9a-f]+)\}|\\(.)")
# Turned-round text could show a serial otherwise than it is stored.
_TURNING = frozenset("\u061c\u200e\u200f\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069")
_PLAIN = frozenset(map(chr, range(0x20, 0x7F))) | frozenset("\n\t£€§°±·½×äöüßéèøåæ–—‘’“”…")
_known: dict[str, bool] = dict.fromkeys(_PLAIN, True)


def visible(data: Any) -> Any:
    """The same data; every character without a glyph replaced by its number, in keys too."""
    strange = set().union(*map(set, _texts(data))) - _known.keys()
    _ask(strange)
    return _rewritten(data)


def _texts(data: Any) -> Iterable[str]:
    if isinstance(data, str):
        yield data
    elif isinstance(data, dict):
        for key, value in data.items():
            yield from _texts(key)
            yield from _texts(value)
    elif isinstance(data, list | tuple):
        for value in data:
            yield from _texts(value)


def _rewritten(data: Any) -> Any:
    if isinstance(data, str):
        return "".join(c if _known[c] else f"[U+{ord(c):04X}]" for c in data)
    if isinstance(data, dict):
        return {_rewritten(key): _rewritten(value) for key, value in data.items()}
    if isinstance(data, list | tuple):
        return [_rewritten(value) for value in data]
    return data


def _ask(strange: set[str]) -> None:
    """Put every new character into `_known`, with one run of the compiler."""
    barred = {c for c in strange if c in _TURNING or unicodedata.category(c) in ("Cc", "Co", "Cs")}
    asked = sorted(strange - barred)
    missing = set(_without_glyph(asked)) if asked else set()
    _known.update({c: c not in missing and c not in barred for c in strange})


def _without_glyph(characters: list[str]) -> Iterable[str]:
    try:
        typst.compile(
            {"main.typ": _PROBE},
            format="pdf",
            pdf_standards=["a-3b"],
            ignore_system_fonts=True,
            sys_inputs={"data": json.dumps(characters)},
        )
    except typst.TypstError as refusal:
        for found in _MISSING.findall(refusal.diagnostic):
            yield from _ESCAPED.sub(lambda m: chr(int(m[1], 16)) if m[1] else m[2], found)

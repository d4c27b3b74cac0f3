"""The one place where an entry becomes bytes, so that it can be hashed.

An entry is written as canonical JSON (RFC 8785): no white space, members sorted by UTF-16 code
units, UTF-8, no Unicode normalisation. Text is normalised before it is stored, never here.

House rules on top of RFC 8785, because a database has to give the same values back: no floats
(PostgreSQL returns 1e21 as an integer), no NUL and no lone surrogates in text (PostgreSQL refuses
what SQLite keeps), ASCII keys only, integers strictly between -2^53 and 2^53, at most `DEEPEST`
levels. Decimals and dates travel as strings.

Source: RFC 8785 (JSON Canonicalization Scheme, 2020), through the library `rfc8785`.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from hashlib import sha256
from typing import Final

import rfc8785

PURPOSE: Final = "registry/entry"
DEEPEST: Final = 32
LARGEST: Final = 2**53 - 1

KEYS: Final = (
    "purpose",  # "registry/entry": these bytes can never be taken for something else
    "version",  # of this layout, an integer from 1
    "book",  # the collection's 128-bit random number, 32 hex digits
    "entry",  # number in the book, from 0, without gaps
    "act",  # shared by entries written together
    "once",  # random, from the form, so that a double tap writes once
    "subject",  # code, or null
    "names",  # role -> code
    "kind",
    "facts_version",
    "facts",
    "happened",  # the date as accepted (EDTF text), or null
    "recorded_at",  # UTC, six decimals, Z
    "written_at",  # the phone's claim in the same form, or null
    "recorded_by",  # member code
    "source",
    "certainty",
    "corrects",
    "answers",
    "words_hash",  # 64 hex digits, or null
    "salt",  # 128 random bits, 32 hex digits
)

_INSTANT = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}T[0-9]{2}:[0-9]{2}:[0-9]{2}\.[0-9]{6}Z")
_HEX_128 = re.compile(r"[0-9a-f]{32}")
_HEX_256 = re.compile(r"[0-9a-f]{64}")
_UNFIT = re.compile("[\x00\ud800-\udfff]")


def leaf_content(entry: Mapping[str, object]) -> bytes:
    """The canonical bytes of one entry, ready for `merkle.leaf_hash`.

    `entry` holds exactly the keys of `KEYS`; `purpose` is "registry/entry". Instants are text such
    as "2026-03-14T12:15:00.000000Z"; `book` and `salt` are 32 lower-case hex digits, `words_hash`
    64 or null. What the other values mean is for the ledger to judge.

    Raises ValueError naming the path (`facts.parts[2].weight`) of a missing or unknown key, of a
    value in another form, or of one that JSON and both databases would not give back unchanged.
    """
    _refuse_other_keys(entry)
    for key, (fits, wanted) in _FORMS.items():
        if not fits(entry[key]):
            raise ValueError(f"{key}: {entry[key]!r} is not {wanted}")
    return rfc8785.dumps(_plain(entry, "", 0))  # type: ignore[arg-type]


def words_hash(words_salt: bytes | str, words: str) -> str:
    """SHA-256 of salt and free text, as 64 hex digits.

    `words_salt` is 16 random bytes, or their 32 hex digits; its fixed length keeps salt and text
    apart. The text is hashed as the RFC 8785 form of a JSON string. Once words and salt are
    erased, nothing can be guessed back from the hash, and the leaf that holds it still verifies.

    Raises ValueError for a salt of another size and for text with NUL or lone surrogates.
    """
    salt = bytes.fromhex(words_salt) if isinstance(words_salt, str) else words_salt
    if len(salt) != 16:
        raise ValueError(f"the salt of words is 16 bytes, not {len(salt)}")
    if not isinstance(words, str):
        raise ValueError(f"words are text, not {type(words).__name__}")
    return sha256(salt + rfc8785.dumps(_text(words, "words"))).hexdigest()


def _refuse_other_keys(entry: Mapping[str, object]) -> None:
    if not isinstance(entry, Mapping):
        raise ValueError(f"an entry is a mapping, not {type(entry).__name__}")
    missing = [key for key in KEYS if key not in entry]
    if missing:
        raise ValueError(f"the entry lacks {', '.join(missing)}")
    unknown = [key for key in entry if key not in _KEY_SET]
    if unknown:
        raise ValueError(f"the entry has keys nobody knows: {', '.join(map(repr, unknown))}")


def _plain(value: object, path: str, depth: int) -> object:
    if value is None or isinstance(value, bool):
        return value
    if isinstance(value, str):
        return _text(value, path)
    if isinstance(value, int):
        return _integer(value, path)
    if depth > DEEPEST:
        raise ValueError(f"{path[:80]}…: nested deeper than {DEEPEST} levels")
    if isinstance(value, Mapping):
        return {
            _key(key, path): _plain(inner, f"{path}.{key}" if path else str(key), depth + 1)
            for key, inner in value.items()
        }
    if isinstance(value, (list, tuple)):
        return [_plain(inner, f"{path}[{i}]", depth + 1) for i, inner in enumerate(value)]
    kind = "a float" if isinstance(value, float) else f"a {type(value).__name__}"
    raise ValueError(f"{path}: {kind} cannot stand in an entry; write it as text")


def _text(text: str, path: str) -> str:
    unfit = _UNFIT.search(text)
    if unfit:
        what = "NUL" if unfit.group() == "\x00" else "half of a surrogate pair"
        raise ValueError(f"{path}: character {unfit.start() + 1} is {what}")
    return text


def _integer(number: int, path: str) -> int:
    if abs(number) > LARGEST:
        raise ValueError(f"{path}: {number} is 2^53 or beyond; write it as text")
    return number


def _key(key: object, path: str) -> str:
    if not isinstance(key, str):
        raise ValueError(f"{path}: the key {key!r} is not text")
    if not key.isascii() or "\x00" in key:
        raise ValueError(f"{path}: the key {key!r} is not plain ASCII")
    return key


def _matches(pattern: re.Pattern[str], *, or_null: bool = False) -> Callable[[object], bool]:
    def fits(value: object) -> bool:
        if value is None:
            return or_null
        return isinstance(value, str) and pattern.fullmatch(value) is not None

    return fits


def _counts_from(lowest: int) -> Callable[[object], bool]:
    return lambda value: type(value) is int and value >= lowest


_KEY_SET = frozenset(KEYS)
_INSTANT_WANTED = "UTC with six decimals, such as 2026-03-14T12:15:00.000000Z"
_FORMS: dict[str, tuple[Callable[[object], bool], str]] = {
    "purpose": (lambda value: value == PURPOSE, f"{PURPOSE!r}"),
    "version": (_counts_from(1), "an integer from 1"),
    "book": (_matches(_HEX_128), "32 lower-case hex digits"),
    "entry": (_counts_from(0), "an integer from 0"),
    "names": (lambda value: isinstance(value, Mapping), "a mapping of role to code"),
    "facts_version": (_counts_from(1), "an integer from 1"),
    "facts": (lambda value: isinstance(value, Mapping), "a mapping"),
    "recorded_at": (_matches(_INSTANT), _INSTANT_WANTED),
    "written_at": (_matches(_INSTANT, or_null=True), _INSTANT_WANTED + ", or null"),
    "words_hash": (_matches(_HEX_256, or_null=True), "64 lower-case hex digits, or null"),
    "salt": (_matches(_HEX_128), "32 lower-case hex digits"),
}

"""Reading the file of a dossier: strict JSON of one shape, or a sentence why not.

Whatever comes is read: the file may be anything that somebody was handed. Where the bytes are
damaged, the entry in which they are is named as long as it can be made out.
"""

from __future__ import annotations

import json
import re
from typing import Any, Final

from collection.core.dossier_file import ENTRY_KEYS, KEYS, PURPOSE, SEAL_KEYS, VERSION

MOST_BYTES: Final = 8 * 2**20
_ROOT = re.compile(r"[0-9a-f]{64}")
_STARTS = b'{"content":{'
_NUMBER = re.compile(rb'"entry":(\d{1,16})')


class NoDossier(ValueError):
    """Bytes in which no dossier can be read, with a sentence that names the entry if it can."""


def read(data: bytes) -> dict[str, Any]:
    """What the file says, of the right shape; what it says is not checked yet.

    Raises NoDossier.
    """
    if len(data) > MOST_BYTES:
        raise NoDossier(f"The file has more than {MOST_BYTES // 2**20} MB; no dossier is so large.")
    said = _json(data)
    wrong = _wrong_shape(said)
    if wrong:
        raise NoDossier(f"This is no dossier: {wrong}.")
    return dict(said)


def _json(data: bytes) -> Any:
    try:
        said = json.loads(
            data.decode("utf-8"),
            object_pairs_hook=_once,
            parse_float=_refused,
            parse_constant=_refused,
        )
        # Halves of surrogate pairs can be escaped in JSON, yet stand in no page and no entry.
        json.dumps(said, ensure_ascii=False).encode()
        return said
    except UnicodeDecodeError as error:
        raise NoDossier(f"The file is damaged{_near(data, error.start)}.") from error
    except json.JSONDecodeError as error:
        at = len(error.doc[: error.pos].encode("utf-8"))
        raise NoDossier(f"The file is damaged or no dossier{_near(data, at)}.") from error
    except (ValueError, RecursionError) as error:
        raise NoDossier(f"The file is damaged or no dossier ({str(error)[:80]}).") from error


def _near(data: bytes, position: int) -> str:
    """', in or just behind entry 12' for a place in the bytes; else the place in the file."""
    start = data.rfind(_STARTS, 0, position)
    if start < 0:
        return ""
    end = data.find(_STARTS, start + 1)
    found = _NUMBER.search(data, start, end if end >= 0 else len(data))
    if found:
        return f", in or just behind entry {int(found[1])}"
    return f", in entry number {data.count(_STARTS, 0, start + 1) + 1} in the file"


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    made = dict(pairs)
    if len(made) != len(pairs):
        raise ValueError("a name stands twice in it")
    return made


def _refused(text: str) -> Any:
    raise ValueError(f"{text[:20]} is no whole number")


def _wrong_shape(said: Any) -> str:
    if not isinstance(said, dict) or said.get("purpose") != PURPOSE:
        return f"it does not say '{PURPOSE}'"
    if type(said.get("version")) is not int or said["version"] != VERSION:
        return f"it is of version {str(said.get('version'))[:20]}, not {VERSION}"
    if set(said) != KEYS:
        return f"it has other parts than {', '.join(sorted(KEYS))}"
    if not isinstance(said["subject"], str) or not isinstance(said["book"], str):
        return "its book and subject are no text"
    if type(said["size"]) is not int or not _is_hash(said["root"]):
        return "its size and root are none"
    if not _is_frontier(said["frontier"]):
        return "its frontier is none"
    if not isinstance(said["entries"], list) or not isinstance(said["seals"], list):
        return "its entries and seals are no lists"
    for place, one in enumerate(said["entries"], 1):
        if wrong := _wrong_entry(one):
            return f"entry {_number_of(one)}, number {place} in the file, {wrong}"
    if not all(_is_seal(one) for one in said["seals"]):
        return "a seal in it is none"
    return ""


def _wrong_entry(one: Any) -> str:
    if not isinstance(one, dict) or set(one) != ENTRY_KEYS:
        return f"has other parts than {', '.join(sorted(ENTRY_KEYS))}"
    if not isinstance(one["content"], dict) or type(one["content"].get("entry")) is not int:
        return "has no number"
    if not (one["words"] is None or isinstance(one["words"], str)):
        return "has words that are no text"
    return "" if _is_path(one["proof"]) else "has a proof that is none"


def _number_of(one: Any) -> str:
    content = one.get("content") if isinstance(one, dict) else None
    number = content.get("entry") if isinstance(content, dict) else None
    return str(number) if type(number) is int else "?"


def _is_seal(one: Any) -> bool:
    return (
        isinstance(one, dict)
        and set(one) == SEAL_KEYS
        and type(one["size"]) is int
        and _is_hash(one["root"])
        and _is_path(one["path"])
    )


def _is_frontier(value: Any) -> bool:
    if not isinstance(value, list):
        return False
    return all(step == "" or _is_hash(step) for step in value) and value[:1] != [""]


def _is_path(value: Any) -> bool:
    return isinstance(value, list) and all(_is_hash(step) for step in value)


def _is_hash(value: Any) -> bool:
    return isinstance(value, str) and _ROOT.fullmatch(value) is not None

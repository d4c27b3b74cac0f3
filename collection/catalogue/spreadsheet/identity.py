"""When a row means a piece that is known already."""

import hashlib
from collections.abc import Iterable

from collection.catalogue.spreadsheet.headings import fold


def identity(*, kind: str, maker: str, design: str, serial: str) -> str:
    """What tells one piece from another: 'amplifier/holm electric/harbour 50/a8629'."""
    parts = ("" if kind == "other" else kind, maker, design, serial)
    return "/".join(fold(part) for part in parts)


def fingerprint(cells: Iterable[str], *, occurrence: int) -> str:
    """SHA-256 of a row's words and of how many rows with the same words stand before it."""
    words = "\x1f".join(" ".join(cell.split()) for cell in cells).rstrip("\x1f")
    return hashlib.sha256(f"{occurrence}\x1e{words}".encode("utf-8", "replace")).hexdigest()


def is_same_piece(held: str, *, fingerprint: str, identity: str) -> bool:
    """Whether a code that is taken is taken by this very piece.

    `held` is one or more lines, each a fingerprint or an identity; one that agrees suffices.
    Identities agree when no part contradicts and at least one part is the same.
    """
    return any(
        line == fingerprint or ("/" in line and _agree(line.split("/"), identity.split("/")))
        for line in held.split("\n")
    )


def _agree(one: list[str], other: list[str]) -> bool:
    pairs = [(a, b) for a, b in zip(one, other, strict=False) if a and b]
    return len(one) == len(other) and bool(pairs) and all(a == b for a, b in pairs)

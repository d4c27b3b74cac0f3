"""Inclusion proofs of many entries at once, each level of the tree made only once.

A proof alone costs the hashing of its whole branch; three hundred of one history share branches.
They equal those of `merkle_branches.inclusion_proof`.

Source: RFC 9162 (Certificate Transparency 2.0, 2021), §2.1.3.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from collection.core import merkle
from collection.core.merkle_branches import BRANCH


def paths(leaf_hashes: Sequence[bytes], indices: Iterable[int]) -> dict[int, tuple[bytes, ...]]:
    """The inclusion proof of each index (from 0) among these leaves.

    Raises ValueError for an index outside.
    """
    levels = [list(leaf_hashes)]
    while len(levels[-1]) > 1:
        levels.append(_joined(levels[-1]))
    return {index: _path(levels, index) for index in indices}


def branch_paths(
    branch_roots: Sequence[bytes],
    tail: Sequence[bytes],
    *,
    leaves: Mapping[int, Sequence[bytes]],
    indices: Iterable[int],
) -> dict[int, tuple[bytes, ...]]:
    """The inclusion proof of each index in a book with kept branch roots.

    `tail`: the fewer than `BRANCH` leaves behind the last complete branch. `leaves`: those of each
    complete branch, by its number, that an index lies in. Raises ValueError for an index outside,
    or for leaves that do not make their branch.
    """
    crown = [*branch_roots, merkle.root(tail)] if tail else list(branch_roots)
    known = {**leaves, len(branch_roots): tail}
    wanted: dict[int, list[int]] = {}
    for index in indices:
        wanted.setdefault(index // BRANCH, []).append(index % BRANCH)
    above = paths(crown, wanted)
    found = {}
    for number, inside in wanted.items():
        own = known.get(number, ())
        if merkle.root(own) != crown[number]:
            raise ValueError(f"these leaves do not make branch {number} of the tree")
        for place, path in paths(own, inside).items():
            found[number * BRANCH + place] = path + above[number]
    return found


def _joined(level: list[bytes]) -> list[bytes]:
    pairs = zip(level[::2], level[1::2], strict=False)
    joined = [merkle.node_hash(left, right) for left, right in pairs]
    return [*joined, level[-1]] if len(level) & 1 else joined


def _path(levels: list[list[bytes]], index: int) -> tuple[bytes, ...]:
    if not 0 <= index < len(levels[0]):
        raise ValueError(f"entry {index} is not in the tree")
    path = []
    for level in levels[:-1]:
        beside = index ^ 1
        if beside < len(level):
            path.append(level[beside])
        index //= 2
    return tuple(path)

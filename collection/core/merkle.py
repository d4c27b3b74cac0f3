"""The hash tree over a collection's book, and proofs about it.

A leaf is SHA-256(0x00 ‖ content), a node SHA-256(0x01 ‖ left ‖ right), the empty tree SHA-256 of
nothing; a tree of n leaves splits at the largest power of two below n. Hashes are 32 raw bytes.

The tree shows a change only against a root that is kept outside the database. It proves neither
time nor truth.

Source: RFC 9162 (Certificate Transparency 2.0, 2021), §2.1.1 tree hash, §2.1.3 inclusion,
§2.1.4 consistency. We depart from it in one point: a consistency proof from size 0 is refused,
because an empty tree is consistent with everything and so proves nothing.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from hashlib import sha256

HASH_BYTES = 32


def leaf_hash(content: bytes) -> bytes:
    """The 32-byte hash of one entry's canonical bytes."""
    if not isinstance(content, bytes):
        raise ValueError(f"a leaf is made of bytes, not of {type(content).__name__}")
    return sha256(b"\x00" + content).digest()


def node_hash(left: bytes, right: bytes) -> bytes:
    """The 32-byte hash that joins two subtrees."""
    return sha256(b"\x01" + left + right).digest()


def root(leaf_hashes: Iterable[bytes]) -> bytes:
    """The root over leaf hashes in book order; O(n), about half a second a million.

    Raises ValueError when something other than a 32-byte hash is among them.
    """
    return _root(_hashes(leaf_hashes))


# -- growing one entry at a time -------------------------------------------------------------


def append(frontier: Sequence[bytes], leaf_hash: bytes) -> tuple[bytes, ...]:
    """The frontier after one more leaf; O(log n).

    A frontier holds the roots of the full subtrees, largest first, with `b""` in the place of a
    size that is absent: five leaves are (root of 4, b"", leaf). Read as filled or empty it is the
    size in binary. Hashes alone could not tell one leaf from a full subtree of two. Start at ().

    Raises ValueError for a frontier that is none, or a leaf that is no hash.
    """
    rising = list(_frontier(frontier))
    carried = _hashes([leaf_hash])[0]
    for place in range(len(rising) - 1, -1, -1):
        if not rising[place]:
            rising[place] = carried
            return tuple(rising)
        carried = node_hash(rising[place], carried)
        rising[place] = b""
    return (carried, *rising)


def frontier_root(frontier: Sequence[bytes]) -> bytes:
    """The root of the tree that a frontier stands for; equals `root` of its leaves."""
    full = [part for part in _frontier(frontier) if part]
    if not full:
        return sha256(b"").digest()
    joined = full.pop()
    while full:
        joined = node_hash(full.pop(), joined)
    return joined


def frontier_size(frontier: Sequence[bytes]) -> int:
    """How many leaves a frontier stands for, read from which places are filled."""
    size = 0
    for part in _frontier(frontier):
        size = size * 2 + bool(part)
    return size


# -- proofs ----------------------------------------------------------------------------------


def inclusion_proof(leaf_hashes: Iterable[bytes], index: int) -> tuple[bytes, ...]:
    """The hashes that lead from leaf `index` (from 0) to the root, lowest first.

    Raises ValueError for an index outside the tree. Source: RFC 9162 §2.1.3.1.
    """
    level = _hashes(leaf_hashes)
    _refuse_outside(index, 0, len(level) - 1, "index")
    proof = []
    while len(level) > 1:
        beside = index ^ 1
        if beside < len(level):
            proof.append(level[beside])
        level = _next_level(level)
        index //= 2
    return tuple(proof)


def consistency_proof(
    leaf_hashes: Iterable[bytes], first: int, *, first_is_known: bool = True
) -> tuple[bytes, ...]:
    """The hashes that show the first `first` leaves to be a beginning of all of them.

    Whoever checks knows the root over the first leaves, so it is left out where it would be the
    first hash; `first_is_known=False` keeps it, for a part of a larger tree.
    Raises ValueError unless 1 ≤ first ≤ size. Source: RFC 9162 §2.1.4.1.
    """
    leaves = _hashes(leaf_hashes)
    _refuse_outside(first, 1, len(leaves), "first size")
    return _subproof(leaves, first, known=first_is_known)


def verify_inclusion(
    leaf: bytes, index: int, size: int, proof: Sequence[bytes], root: bytes
) -> bool:
    """Whether `leaf` is number `index` of the `size` leaves under `root`.

    False, never an exception, for anything impossible. Source: RFC 9162 §2.1.3.2.
    """
    if not (_is_count(index) and _is_count(size) and index < size):
        return False
    if not (_is_hash(leaf) and _is_hash(root) and _is_path(proof)):
        return False
    node, last, joined = index, size - 1, leaf
    for beside in proof:
        if last == 0:
            return False
        if node & 1 or node == last:
            joined = node_hash(beside, joined)
            while not node & 1 and node:
                node, last = node >> 1, last >> 1
        else:
            joined = node_hash(joined, beside)
        node, last = node >> 1, last >> 1
    return last == 0 and joined == root


def verify_consistency(
    first: int, second: int, first_root: bytes, second_root: bytes, proof: Sequence[bytes]
) -> bool:
    """Whether the tree of size `second` only added to the tree of size `first`.

    False, never an exception, for first = 0 and for anything impossible.
    Source: RFC 9162 §2.1.4.2.
    """
    if not (_is_count(first) and _is_count(second) and 0 < first <= second):
        return False
    if not (_is_hash(first_root) and _is_hash(second_root) and _is_path(proof)):
        return False
    if first == second:
        return not proof and first_root == second_root
    if not proof:
        return False
    # A first tree that is one full subtree is not repeated in the proof: its root is known.
    path = [first_root, *proof] if first & (first - 1) == 0 else list(proof)
    return _replay(first - 1, second - 1, path) == (first_root, second_root)


def _replay(node: int, last: int, path: list[bytes]) -> tuple[bytes, bytes] | None:
    while node & 1:
        node, last = node >> 1, last >> 1
    old = new = path[0]
    for beside in path[1:]:
        if last == 0:
            return None
        if node & 1 or node == last:
            old, new = node_hash(beside, old), node_hash(beside, new)
            while not node & 1 and node:
                node, last = node >> 1, last >> 1
        else:
            new = node_hash(new, beside)
        node, last = node >> 1, last >> 1
    return (old, new) if last == 0 else None


# -- parts -----------------------------------------------------------------------------------


def _root(level: list[bytes]) -> bytes:
    if not level:
        return sha256(b"").digest()
    while len(level) > 1:
        level = _next_level(level)
    return level[0]


def _next_level(level: list[bytes]) -> list[bytes]:
    # Joining neighbours and carrying an odd last one up gives the split at the power of two.
    joined = [
        sha256(b"\x01" + left + right).digest()
        for left, right in zip(level[::2], level[1::2], strict=False)
    ]
    return [*joined, level[-1]] if len(level) & 1 else joined


def _subproof(leaves: list[bytes], first: int, *, known: bool) -> tuple[bytes, ...]:
    if first == len(leaves):
        return () if known else (_root(leaves),)
    split = 1 << (len(leaves) - 1).bit_length() - 1
    if first <= split:
        return (*_subproof(leaves[:split], first, known=known), _root(leaves[split:]))
    return (*_subproof(leaves[split:], first - split, known=False), _root(leaves[:split]))


def _hashes(values: Iterable[bytes]) -> list[bytes]:
    hashes = list(values)
    if not all(map(_is_hash, hashes)):
        raise ValueError(f"every hash in the tree is {HASH_BYTES} bytes")
    return hashes


def _frontier(frontier: Sequence[bytes]) -> Sequence[bytes]:
    if not all(part == b"" or _is_hash(part) for part in frontier):
        raise ValueError(f"every part of a frontier is empty or {HASH_BYTES} bytes")
    if frontier and not frontier[0]:
        raise ValueError("a frontier starts with its largest subtree, not with an empty place")
    return frontier


def _refuse_outside(value: int, lowest: int, highest: int, name: str) -> None:
    if not _is_count(value) or not lowest <= value <= highest:
        raise ValueError(f"{name} {value!r} is not between {lowest} and {highest}")


def _is_count(value: object) -> bool:
    return type(value) is int and value >= 0


def _is_hash(value: object) -> bool:
    return isinstance(value, bytes) and len(value) == HASH_BYTES


def _is_path(proof: object) -> bool:
    return isinstance(proof, (list, tuple)) and all(map(_is_hash, proof))

"""The same roots and proofs from kept subtree roots, so that a long book stays quick.

A branch is one complete run of `BRANCH` leaves. With the roots of all branches kept, a root needs
only the leaves behind the last branch, and a proof those of one branch besides.
"""

from __future__ import annotations

from collections.abc import Iterable

from collection.core import merkle

BRANCH = 1024  # leaves in a branch; a power of two


def subtree_root(leaf_hashes: Iterable[bytes]) -> bytes:
    """The root of one complete branch, worth keeping.

    Raises ValueError for any other number of leaves than `BRANCH`.
    """
    leaves = list(leaf_hashes)
    if len(leaves) != BRANCH:
        raise ValueError(f"a branch has {BRANCH} leaves, not {len(leaves)}")
    return merkle.root(leaves)


def root_from_branches(branch_roots: Iterable[bytes], tail: Iterable[bytes]) -> bytes:
    """The root over complete branches and the fewer than `BRANCH` leaves behind them."""
    return merkle.root(_crown(branch_roots, tail))


def inclusion_proof(
    branch_roots: Iterable[bytes],
    tail: Iterable[bytes],
    *,
    branch_leaves: Iterable[bytes],
    index: int,
) -> tuple[bytes, ...]:
    """`merkle.inclusion_proof` that needs only the leaves of the branch that `index` lies in.

    `branch_leaves` are leaves `index // BRANCH * BRANCH` onwards: a whole branch, or the tail.
    Raises ValueError when they do not hash to what the tree has in that place, and for an index
    outside the tree.
    """
    crown = _crown(branch_roots, tail)
    place, inside = divmod(index, BRANCH)
    if not 0 <= place < len(crown):
        raise ValueError(f"entry {index} is not in the tree")
    leaves = _branch(crown, place, branch_leaves)
    return merkle.inclusion_proof(leaves, inside) + merkle.inclusion_proof(crown, place)


def consistency_proof(
    branch_roots: Iterable[bytes],
    tail: Iterable[bytes],
    *,
    branch_leaves: Iterable[bytes],
    first: int,
) -> tuple[bytes, ...]:
    """`merkle.consistency_proof` that needs only the leaves of the branch in which `first` ends.

    `branch_leaves` are leaves `first // BRANCH * BRANCH` onwards; they are not looked at when
    `first` is a whole number of branches, or the whole tree. Raises ValueError unless
    1 ≤ first ≤ size, and for leaves that are not those of the tree.
    """
    behind = list(tail)
    crown = _crown(branch_roots, behind)
    size = (len(crown) - bool(behind)) * BRANCH + len(behind)
    if not 1 <= first <= size:
        raise ValueError(f"first size {first} is not between 1 and {size}")
    if first == size:
        return ()
    place, inside = divmod(first, BRANCH)
    if not inside:
        return merkle.consistency_proof(crown, place)
    leaves = _branch(crown, place, branch_leaves)
    # Inside the first branch the old root may be left out of the proof, further on it may not.
    below = merkle.consistency_proof(leaves, inside, first_is_known=place == 0)
    return below + merkle.inclusion_proof(crown, place)


def _crown(branch_roots: Iterable[bytes], tail: Iterable[bytes]) -> list[bytes]:
    # A tree splits at multiples of BRANCH until a part fits into one branch, so the tree over
    # branch roots, with the root of the tail as the last of them, is the tree over all leaves.
    crown, behind = list(branch_roots), list(tail)
    if len(behind) >= BRANCH:
        raise ValueError(f"a tail has fewer than {BRANCH} leaves, not {len(behind)}")
    return [*crown, merkle.root(behind)] if behind else crown


def _branch(crown: list[bytes], place: int, branch_leaves: Iterable[bytes]) -> list[bytes]:
    leaves = list(branch_leaves)
    if not 0 < len(leaves) <= BRANCH or merkle.root(leaves) != crown[place]:
        raise ValueError(f"these leaves do not make branch {place} of the tree")
    return leaves

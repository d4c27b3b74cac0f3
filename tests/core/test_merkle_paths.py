"""Many proofs at once against the single ones, and the published vectors.

Source: RFC 9162 §2.1.3; transparency-dev/merkle, testonly/constants.go (Apache-2.0): leaf inputs
and the inclusion proofs of the tree of eight.
"""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from collection.core import merkle
from collection.core.merkle_branches import BRANCH, inclusion_proof, subtree_root
from collection.core.merkle_paths import branch_paths, paths

INPUTS = [
    b"", bytes([0]), bytes([0x10]), b"\x20\x21", b"\x30\x31", b"\x40\x41\x42\x43",
    bytes(range(0x50, 0x58)), bytes(range(0x60, 0x70)),
]  # fmt: skip
ROOT_OF_EIGHT = "5dc9da79a70659a9ad559cb701ded9a2ab9d823aad2f4960cfe370eff4604328"


def leaves(count):
    return [merkle.leaf_hash(str(number).encode()) for number in range(count)]


def test_the_published_tree_of_eight_is_proved_leaf_by_leaf():
    hashes = [merkle.leaf_hash(data) for data in INPUTS]
    root = bytes.fromhex(ROOT_OF_EIGHT)
    for index, path in paths(hashes, range(8)).items():
        assert merkle.verify_inclusion(hashes[index], index, 8, path, root)


@given(st.integers(1, 70))
@settings(max_examples=30)
def test_each_path_is_the_proof_made_alone(count):
    hashes = leaves(count)
    assert paths(hashes, range(count)) == {
        index: merkle.inclusion_proof(hashes, index) for index in range(count)
    }


@pytest.mark.parametrize("count", [1, 1023, 1024, 1025, 2048, 3000])
def test_paths_in_a_long_book_are_those_made_one_by_one(count):
    hashes = leaves(count)
    full = count // BRANCH
    whole = {n: hashes[n * BRANCH : (n + 1) * BRANCH] for n in range(full)}
    roots, tail = [subtree_root(part) for part in whole.values()], hashes[full * BRANCH :]
    wanted = sorted({0, count // 2, count - 1, min(count - 1, 1023), min(count - 1, 1024)})
    found = branch_paths(roots, tail, leaves=whole, indices=wanted)
    for index in wanted:
        own = whole.get(index // BRANCH, tail)
        assert found[index] == inclusion_proof(roots, tail, branch_leaves=own, index=index)
        assert merkle.verify_inclusion(
            hashes[index], index, count, found[index], merkle.root(hashes)
        )


def test_what_is_not_in_the_tree_is_refused():
    with pytest.raises(ValueError, match="not in the tree"):
        paths(leaves(3), [3])
    with pytest.raises(ValueError, match="not in the tree"):
        branch_paths([], leaves(3), leaves={}, indices=[2000])
    with pytest.raises(ValueError, match="branch 0"):
        branch_paths([merkle.root(leaves(1024))], [], leaves={0: leaves(3)}, indices=[1])

"""The hash tree: published vectors, a naive second opinion, and proofs that must fail."""

import hashlib
import json
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from collection.core import merkle, merkle_branches
from collection.core.merkle_branches import BRANCH

FOLDER = Path(__file__).parents[2] / "fixtures/vectors"
VECTORS = json.loads((FOLDER / "merkle.json").read_text(encoding="utf-8"))
SHA256 = json.loads((FOLDER / "sha256.json").read_text(encoding="utf-8"))
LEAVES = [merkle.leaf_hash(bytes.fromhex(text)) for text in VECTORS["leaf_inputs"]]
ROOTS = [bytes.fromhex(text) for text in VECTORS["roots"]]
MANY = [merkle.leaf_hash(str(number).encode()) for number in range(3 * BRANCH + 5)]


def naive_root(leaves):
    """RFC 9162 §2.1.1, word for word."""
    if not leaves:
        return hashlib.sha256(b"").digest()
    if len(leaves) == 1:
        return leaves[0]
    split = 1
    while split * 2 < len(leaves):
        split *= 2
    joined = naive_root(leaves[:split]) + naive_root(leaves[split:])
    return hashlib.sha256(b"\x01" + joined).digest()


def naive_path(leaves, index):
    """RFC 9162 §2.1.3.1, word for word."""
    if len(leaves) == 1:
        return ()
    split = 1
    while split * 2 < len(leaves):
        split *= 2
    if index < split:
        return (*naive_path(leaves[:split], index), naive_root(leaves[split:]))
    return (*naive_path(leaves[split:], index - split), naive_root(leaves[:split]))


def unhex(texts):
    return tuple(bytes.fromhex(text) for text in texts)


@pytest.mark.parametrize("row", SHA256["messages"], ids=lambda row: row["text"] or "empty")
def test_sha256_gives_the_published_digests(row):
    # Source: SHA256["source"].
    message = (row["text"] * row["repeat"]).encode()
    assert hashlib.sha256(message).hexdigest() == row["sha256"]


def test_leaves_and_roots_are_the_published_ones():
    # Source: VECTORS["source"].
    assert [leaf.hex() for leaf in LEAVES] == VECTORS["leaf_hashes"]
    assert [merkle.root(LEAVES[:size]) for size in range(9)] == ROOTS


@pytest.mark.parametrize(
    "row", VECTORS["inclusion"], ids=lambda row: f"{row['index']}of{row['size']}"
)
def test_inclusion_proofs_are_the_published_ones(row):
    # Source: VECTORS["source"].
    index, size, proof = row["index"], row["size"], unhex(row["proof"])
    assert merkle.inclusion_proof(LEAVES[:size], index) == proof
    assert merkle.verify_inclusion(LEAVES[index], index, size, proof, ROOTS[size])


@pytest.mark.parametrize(
    "row", VECTORS["consistency"], ids=lambda row: f"{row['first']}to{row['second']}"
)
def test_consistency_proofs_are_the_published_ones(row):
    # Source: VECTORS["source"].
    first, second, proof = row["first"], row["second"], unhex(row["proof"])
    assert merkle.consistency_proof(LEAVES[:second], first) == proof
    assert merkle.verify_consistency(first, second, ROOTS[first], ROOTS[second], proof)


@pytest.mark.parametrize("size", range(41))
def test_every_small_tree_agrees_with_the_naive_one(size):
    leaves = MANY[:size]
    assert merkle.root(leaves) == naive_root(leaves)
    for index in range(size):
        proof = merkle.inclusion_proof(leaves, index)
        assert proof == naive_path(leaves, index)
        assert merkle.verify_inclusion(leaves[index], index, size, proof, naive_root(leaves))
    for first in range(1, size + 1):
        proof = merkle.consistency_proof(leaves, first)
        roots = naive_root(leaves[:first]), naive_root(leaves)
        assert merkle.verify_consistency(first, size, *roots, proof)


def test_a_frontier_grows_to_the_same_root_at_every_size():
    frontier = ()
    for size in range(200):
        assert merkle.frontier_root(frontier) == merkle.root(MANY[:size])
        assert merkle.frontier_size(frontier) == size
        assert sum(map(bool, frontier)) == bin(size).count("1")
        frontier = merkle.append(frontier, MANY[size])


def test_a_frontier_holds_the_full_subtrees_largest_first():
    frontier = ()
    for leaf in MANY[:5]:
        frontier = merkle.append(frontier, leaf)
    assert frontier == (merkle.root(MANY[:4]), b"", MANY[4])


def spoilt(proof):
    """A proof with one bit turned, one hash missing, doubled, or too many."""
    for place, part in enumerate(proof):
        turned = bytes([part[0] ^ 1]) + part[1:]
        yield (*proof[:place], turned, *proof[place + 1 :])
        yield (*proof[:place], *proof[place + 1 :])
        yield (*proof[:place], part, part, *proof[place + 1 :])
    yield (*proof, bytes(32))
    yield (bytes(32), *proof)


@pytest.mark.parametrize("size", [1, 2, 3, 5, 8, 13, 32, 40])
def test_a_spoilt_inclusion_proof_fails(size):
    leaves, root = MANY[:size], merkle.root(MANY[:size])
    for index in range(size):
        proof = merkle.inclusion_proof(leaves, index)
        for wrong in spoilt(proof):
            assert not merkle.verify_inclusion(leaves[index], index, size, wrong, root)
        assert not merkle.verify_inclusion(MANY[99], index, size, proof, root)
        assert not merkle.verify_inclusion(leaves[index], index, size, proof, bytes(32))
        for other in range(size):
            if other != index:
                assert not merkle.verify_inclusion(leaves[index], other, size, proof, root)


@pytest.mark.parametrize("size", [2, 3, 5, 8, 13, 32, 40])
def test_a_spoilt_consistency_proof_fails(size):
    roots = [merkle.root(MANY[:n]) for n in range(size + 1)]
    for first in range(1, size + 1):
        proof = merkle.consistency_proof(MANY[:size], first)
        for wrong in spoilt(proof):
            assert not merkle.verify_consistency(first, size, roots[first], roots[size], wrong)
        assert not merkle.verify_consistency(first, size, bytes(32), roots[size], proof)
        assert not merkle.verify_consistency(first, size, roots[first], bytes(32), proof)


@pytest.mark.parametrize(
    ("index", "size"), [(-1, 3), (3, 3), (4, 3), (0, 0), (0, -1), (True, 3), (1.0, 3), (None, 3)]
)
def test_an_impossible_place_is_false_to_check_and_refused_to_prove(index, size):
    leaves = MANY[: max(size, 0)]
    assert merkle.verify_inclusion(MANY[0], index, size, (), MANY[0]) is False
    with pytest.raises(ValueError, match="index"):
        merkle.inclusion_proof(leaves, index)


@pytest.mark.parametrize("first", [0, -1, 4, True, None])
def test_an_impossible_beginning_is_false_to_check_and_refused_to_prove(first):
    root = merkle.root(MANY[:3])
    assert merkle.verify_consistency(first, 3, merkle.root([]), root, ()) is False
    with pytest.raises(ValueError, match="first size"):
        merkle.consistency_proof(MANY[:3], first)


@pytest.mark.parametrize("proof", [None, "text", [None], [b"short"], ["ab" * 16], 7, b"x" * 64])
def test_a_proof_of_the_wrong_kind_is_false(proof):
    root = merkle.root(MANY[:2])
    assert merkle.verify_inclusion(MANY[0], 0, 2, proof, root) is False
    assert merkle.verify_consistency(1, 2, MANY[0], root, proof) is False
    assert merkle.verify_inclusion("leaf", 0, 2, (MANY[1],), root) is False
    assert merkle.verify_inclusion(MANY[0], 0, 2, (MANY[1],), None) is False


def test_what_is_no_hash_is_refused():
    for wrong in ([b"short"], ["ab" * 32], [None]):
        with pytest.raises(ValueError, match="32 bytes"):
            merkle.root(wrong)
    with pytest.raises(ValueError, match="32 bytes"):
        merkle.append((), b"short")
    with pytest.raises(ValueError, match="frontier"):
        merkle.append((b"short",), MANY[0])
    with pytest.raises(ValueError, match="largest subtree"):
        merkle.frontier_root((b"", MANY[0]))
    with pytest.raises(ValueError, match="bytes"):
        merkle.leaf_hash("text")


# -- from kept branches ----------------------------------------------------------------------

SIZES = [1, 5, BRANCH - 1, BRANCH, BRANCH + 1, 2 * BRANCH, 2 * BRANCH + 700, 3 * BRANCH + 5]


def branches(size):
    whole = size // BRANCH
    roots = [merkle_branches.subtree_root(branch(size, place)) for place in range(whole)]
    return roots, MANY[whole * BRANCH : size]


def branch(size, place):
    return MANY[place * BRANCH : min((place + 1) * BRANCH, size)]


@pytest.mark.parametrize("size", [0, *SIZES])
def test_a_root_from_branches_is_the_root(size):
    assert merkle_branches.root_from_branches(*branches(size)) == merkle.root(MANY[:size])


@settings(max_examples=40, deadline=None)
@given(st.sampled_from(SIZES), st.data())
def test_proofs_from_branches_are_the_proofs(size, data):
    index = data.draw(st.integers(0, size - 1))
    edges = [n for n in (1, BRANCH, BRANCH + 1, 2 * BRANCH, size) if n <= size]
    first = data.draw(st.integers(1, size) | st.sampled_from(edges))
    kept = branches(size)
    assert merkle_branches.inclusion_proof(
        *kept, branch_leaves=branch(size, index // BRANCH), index=index
    ) == merkle.inclusion_proof(MANY[:size], index)
    assert merkle_branches.consistency_proof(
        *kept, branch_leaves=branch(size, first // BRANCH), first=first
    ) == merkle.consistency_proof(MANY[:size], first)


def test_branches_refuse_leaves_that_are_not_theirs():
    roots, tail = branches(BRANCH + 5)
    with pytest.raises(ValueError, match="branch 0"):
        merkle_branches.inclusion_proof(roots, tail, branch_leaves=MANY[1 : BRANCH + 1], index=3)
    with pytest.raises(ValueError, match="branch 0"):
        merkle_branches.consistency_proof(roots, tail, branch_leaves=tail, first=3)
    with pytest.raises(ValueError, match="not in the tree"):
        merkle_branches.inclusion_proof(roots, tail, branch_leaves=tail, index=5 * BRANCH)
    with pytest.raises(ValueError, match="first size"):
        merkle_branches.consistency_proof(roots, tail, branch_leaves=tail, first=0)
    with pytest.raises(ValueError, match="1024 leaves"):
        merkle_branches.subtree_root(MANY[:5])
    with pytest.raises(ValueError, match="fewer than 1024"):
        merkle_branches.root_from_branches([], MANY[:BRANCH])

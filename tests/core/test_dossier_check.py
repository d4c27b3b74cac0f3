"""A dossier holds or it does not, with nothing at hand but its file and a root.

Source of the tree and its proofs: RFC 9162 §2.1.3 and §2.1.4; of the form: RFC 8785. What is
checked here is built by hand from the core alone.
"""

import json

import pytest
import rfc8785
from hypothesis import given, settings
from hypothesis import strategies as st

from collection.core import merkle
from collection.core.canonical import leaf_content, words_hash
from collection.core.dossier_check import NoDossier, check
from collection.core.dossier_file import Grown, Shown, dossier_file
from collection.core.seal import NoSeal

BOOK = "ab" * 16
SALT = "cd" * 16


def content(number, *, subject="A-007", words=None, **changed):
    return {
        "purpose": "registry/entry", "version": 1, "book": BOOK, "entry": number, "act": "1" * 32,
        "once": None, "subject": subject, "names": {}, "kind": "noted", "facts_version": 1,
        "facts": {"about": ""}, "happened": "2026-03-14",
        "recorded_at": "2026-03-14T12:15:00.000000Z", "written_at": None, "recorded_by": "ines",
        "source": "seen", "certainty": "certain", "corrects": None, "answers": None,
        "words_hash": words_hash(SALT, words) if words else None, "salt": f"{number:032x}",
        **changed,
    }  # fmt: skip


SAID = json.dumps(["Hums at 100 Hz", "Jonah Rae"])
CONTENTS = [content(n, words=SAID if n == 5 else None) for n in range(9)]
LEAVES = [merkle.leaf_hash(leaf_content(one)) for one in CONTENTS]
ROOT = merkle.root(LEAVES).hex()


def grown(leaves):
    frontier = ()
    for leaf in leaves:
        frontier = merkle.append(frontier, leaf)
    return frontier


CHOSEN = (2, 5, 7)
OLD = Grown(6, merkle.root(LEAVES[:6]).hex(), merkle.consistency_proof(LEAVES, 6))


def shown(number, **changed):
    proof = merkle.inclusion_proof(LEAVES, number)
    told = {"words": SAID, "words_salt": SALT} if number == 5 else {}
    return Shown(CONTENTS[number], proof, **{**told, **changed})


def made(entries=None, seals=(OLD,)):
    entries = entries or [shown(n) for n in CHOSEN]
    return dossier_file(subject="A-007", frontier=grown(LEAVES), entries=entries, seals=seals)


FILE = made()


def altered(change):
    said = json.loads(FILE)
    change(said)
    return rfc8785.dumps(said)


def test_an_untouched_dossier_holds_under_a_root_kept_elsewhere():
    found = check(FILE, root=ROOT)
    assert found.fits, found.findings
    assert [one.number for one in found.entries] == [2, 5, 7]
    assert found.entries[1].words == "Hums at 100 Hz"
    assert found.entries[1].note == "Jonah Rae"
    assert "under the root you gave" in found.answer


def test_a_root_may_be_given_as_a_seal_in_groups_and_capitals():
    spaced = " ".join(ROOT[i : i + 4] for i in range(0, 64, 4)).upper()
    assert check(FILE, root=spaced).against == "given"
    assert check(FILE, root=f"9:{ROOT}").fits


def test_without_a_root_the_answer_claims_nothing():
    assert "proves nothing" in check(FILE).answer


def test_an_older_seal_is_reached_by_the_proof_in_the_file():
    found = check(FILE, root=OLD.root)
    assert found.fits
    assert (found.against, found.seal_size) == ("seal", 6)


def test_another_root_does_not_hold():
    found = check(FILE, root="0" * 64)
    assert not found.fits
    assert "Ask for" in found.findings[0].says
    assert not check(FILE, root=f"8:{ROOT}").fits


def test_words_kept_back_do_not_break_the_proof():
    found = check(made([shown(5, words=None)]), root=ROOT)
    assert found.fits
    assert found.entries[0].words is None
    assert found.entries[0].had_words


@given(st.integers(0, len(FILE) - 1), st.integers(1, 255))
@settings(max_examples=60)
def test_one_byte_that_is_other_never_holds(place, flip):
    data = bytearray(FILE)
    data[place] ^= flip
    try:
        found = check(bytes(data), root=ROOT)
    except NoDossier:
        return
    assert not found.fits


def test_every_byte_of_an_entry_is_watched_and_the_entry_named():
    start = FILE.index(b'{"content":{', FILE.index(b'"entry":2,'))
    end = FILE.index(b'{"content":{', start + 1)
    for place in range(start + len(b'{"content":{'), end - 1, 7):
        data = FILE[:place] + bytes([FILE[place] ^ 1]) + FILE[place + 1 :]
        try:
            said = " ".join(one.sentence() for one in check(data, root=ROOT).findings)
        except NoDossier as refused:
            said = str(refused)
        assert any(name in said for name in ("ntry 5", "ntry 4", "number 2 in the file")), said


@pytest.mark.parametrize(
    "change",
    [
        lambda said: said["entries"][1]["content"]["facts"].update(about="x"),
        lambda said: said["entries"][1]["content"].update(salt="0" * 32),
        lambda said: said["entries"][1].update(words=json.dumps(["Silent", ""])),
        lambda said: said["entries"][1].update(words=None),
        lambda said: said["entries"][1].update(words_salt="CD" * 16),
        lambda said: said["entries"][1]["proof"].reverse(),
        lambda said: said["entries"][1]["proof"].pop(),
        lambda said: said["entries"][1]["content"].update(book="0" * 32),
        lambda said: said["entries"][1]["content"].pop("kind"),
        lambda said: said["entries"][1]["content"].update(weight=1),
    ],
)
def test_a_changed_entry_is_named(change):
    findings = check(altered(change), root=ROOT).findings
    assert {one.entry for one in findings} == {5}


@pytest.mark.parametrize(
    "change",
    [
        lambda said: said.update(subject="A-008"),
        lambda said: said.update(size=10),
        lambda said: said.update(root="0" * 64),
        lambda said: said.update(book="0" * 32),
        lambda said: said.update(frontier=[]),
        lambda said: said["frontier"].pop(),
        lambda said: said["entries"].reverse(),
        lambda said: said["entries"].append(said["entries"][0]),
        lambda said: said["entries"].clear(),
        lambda said: said["seals"][0].update(size=5),
        lambda said: said["seals"][0].update(root="0" * 64),
        lambda said: said["seals"][0]["path"].pop(),
    ],
)
def test_a_changed_frame_does_not_hold(change):
    assert not check(altered(change), root=ROOT).fits


def test_an_entry_of_another_piece_is_named():
    other = [content(0, subject="A-008")]
    leaf = merkle.leaf_hash(leaf_content(other[0]))
    data = dossier_file(subject="A-007", frontier=grown([leaf]), entries=[Shown(other[0], ())])
    assert check(data).findings[0].sentence() == "Entry 0: it does not name A-007"


def test_a_forger_with_a_tree_of_their_own_is_caught_by_the_root_kept_elsewhere():
    forged = [content(n, happened="1950-01-01") for n in range(9)]
    leaves = [merkle.leaf_hash(leaf_content(one)) for one in forged]
    data = dossier_file(
        subject="A-007", frontier=grown(leaves),
        entries=[Shown(forged[4], merkle.inclusion_proof(leaves, 4))],
    )  # fmt: skip
    assert check(data).fits
    assert not check(data, root=ROOT).fits


def test_spaces_and_another_order_are_found_too():
    pretty = json.dumps(json.loads(FILE), indent=1).encode()
    assert [one.entry for one in check(pretty, root=ROOT).findings] == [None]


@pytest.mark.parametrize(
    "data",
    [
        b"", b"[]", b"null", b"\xff\xfe", b"{" * 100_000, b"[" * 100_000, b'{"purpose":1e999}',
        b'{"purpose":"registry/dossier","purpose":"registry/dossier"}', b'{"a":NaN}',
        b'{"purpose":"registry/dossier","version":2}', b'{"purpose":"registry/dossier"}',
        b'{"purpose":"registry/entry","version":1}', b" " * (8 * 2**20 + 1),
        b'{"version":1,"purpose":"registry/dossier","n":' + b"9" * 5000 + b"}",
        altered(lambda said: said["entries"].append({"content": {}})),
        altered(lambda said: said["entries"].append(7)),
        altered(lambda said: said["entries"][0].update(proof="x")),
        altered(lambda said: said["entries"][0].update(words=7)),
        altered(lambda said: said.update(size="9")),
        altered(lambda said: said.update(version=True)),
        altered(lambda said: said.update(frontier=[""])),
        altered(lambda said: said.update(book=None)),
        altered(lambda said: said.update(seals=[{}])),
        altered(lambda said: said.update(entries={})),
    ],
)  # fmt: skip
def test_what_is_no_dossier_is_refused_in_a_sentence(data):
    with pytest.raises(NoDossier, match=r"\w"):
        check(data)


@pytest.mark.parametrize("value", ["\\ud800", "9007199254740992", "[" * 400 + "]" * 400])
@pytest.mark.parametrize("where", ["content", "words", "book"])
def test_what_has_no_canonical_form_does_not_hold_and_ends_no_check(where, value):
    as_json = f'"{value}"' if value.startswith("\\") else value
    told = {"content": '"act":"' + "1" * 32 + '"', "words": json.dumps(SAID), "book": f'"{BOOK}"'}
    new = {"content": f'"act":{as_json}', "words": as_json, "book": as_json}
    hostile = FILE.decode().replace(told[where], new[where], 1)
    assert hostile != FILE.decode()
    try:
        holds = check(hostile.encode(), root=ROOT).fits
    except NoDossier:
        holds = False
    assert not holds


def test_what_is_no_root_is_refused():
    with pytest.raises(NoSeal):
        check(FILE, root="abc")


def test_a_dossier_shows_entries_of_one_book():
    with pytest.raises(ValueError, match="one book"):
        dossier_file(subject="A-007", frontier=grown(LEAVES), entries=[])

"""Entries as canonical bytes."""

import hashlib
import json
import struct
from pathlib import Path

import pytest
import rfc8785
from hypothesis import given
from hypothesis import strategies as st

from collection.core import canonical

VECTORS = json.loads(
    (Path(__file__).parents[2] / "fixtures/vectors/rfc8785.json").read_text(encoding="utf-8")
)
ENTRY = {
    "purpose": "registry/entry",
    "version": 1,
    "book": "0123456789abcdef" * 2,
    "entry": 7,
    "act": "a1",
    "once": "b2",
    "subject": "A-001",
    "names": {"place": "TRUCK-A"},
    "kind": "moved",
    "facts_version": 1,
    "facts": {},
    "happened": "2026-03-14",
    "recorded_at": "2026-03-14T12:15:00.000000Z",
    "written_at": None,
    "recorded_by": "M-2",
    "source": "seen",
    "certainty": "certain",
    "corrects": None,
    "answers": None,
    "words_hash": None,
    "salt": "f" * 32,
}


def entry(**changes):
    return {**ENTRY, **changes}


def number(ieee754):
    return struct.unpack(">d", bytes.fromhex(ieee754))[0]


@pytest.mark.parametrize("row", VECTORS["numbers"], ids=lambda row: row["text"])
def test_the_library_writes_numbers_as_the_standard_does(row):
    # Source: VECTORS["source"].
    assert rfc8785.dumps(number(row["ieee754"])).decode() == row["text"]


@pytest.mark.parametrize("ieee754", VECTORS["not_numbers"])
def test_the_library_refuses_what_is_no_number(ieee754):
    # Source: VECTORS["source"].
    with pytest.raises(rfc8785.FloatDomainError):
        rfc8785.dumps(number(ieee754))


@pytest.mark.parametrize("row", VECTORS["samples"], ids=lambda row: row["name"])
def test_the_library_writes_the_published_samples(row):
    # Source: VECTORS["source"].
    written = rfc8785.dumps(json.loads(row["json"]))
    assert len(written) == row["bytes"]
    assert hashlib.sha256(written).hexdigest() == row["sha256"]


def test_an_entry_becomes_sorted_json_without_space():
    # Worked by hand after RFC 8785 §3.2.
    assert (
        canonical.leaf_content(entry(facts={"b": "€ 5", "a": [1, True, None]}))
        == (
            '{"act":"a1","answers":null,"book":"0123456789abcdef0123456789abcdef","certainty":"certain",'
            '"corrects":null,"entry":7,"facts":{"a":[1,true,null],"b":"€ 5"},"facts_version":1,'
            '"happened":"2026-03-14","kind":"moved","names":{"place":"TRUCK-A"},"once":"b2",'
            '"purpose":"registry/entry","recorded_at":"2026-03-14T12:15:00.000000Z","recorded_by":"M-2",'
            '"salt":"ffffffffffffffffffffffffffffffff","source":"seen","subject":"A-001","version":1,'
            '"words_hash":null,"written_at":null}'
        ).encode()
    )


def test_the_order_in_which_keys_are_given_does_not_matter():
    assert canonical.leaf_content(dict(reversed(ENTRY.items()))) == canonical.leaf_content(ENTRY)


@pytest.mark.parametrize("key", canonical.KEYS)
def test_every_key_is_required_and_counts(key):
    shorter = entry()
    del shorter[key]
    with pytest.raises(ValueError, match=f"lacks {key}"):
        canonical.leaf_content(shorter)


def test_a_key_that_nobody_knows_is_refused():
    with pytest.raises(ValueError, match="'slug'"):
        canonical.leaf_content(entry(slug="rig"))
    with pytest.raises(ValueError, match="mapping"):
        canonical.leaf_content([ENTRY])


@pytest.mark.parametrize(
    ("changes", "path"),
    [
        ({"facts": {"mass": 2.5}}, r"facts\.mass: a float"),
        ({"facts": {"mass": float("nan")}}, r"facts\.mass: a float"),
        ({"facts": {"parts": ["V1", {"hours": 1.0}]}}, r"facts\.parts\[1\]\.hours: a float"),
        ({"facts": {"serial": "A\x00B"}}, r"facts\.serial: character 2 is NUL"),
        ({"facts": {"serial": "\ud83d"}}, r"facts\.serial: character 1 is half of a surrogate"),
        ({"facts": {"größe": 1}}, r"facts: the key 'größe' is not plain ASCII"),
        ({"facts": {1: 1}}, r"facts: the key 1 is not text"),
        ({"facts": {"a\x00": 1}}, r"facts: the key"),
        ({"facts": {"n": 2**53}}, r"facts\.n: 9007199254740992 is 2\^53 or beyond"),
        ({"facts": {"n": -(2**53)}}, r"facts\.n: -9007199254740992"),
        ({"facts": {"photo": b"x"}}, r"facts\.photo: a bytes"),
        ({"facts": {"codes": {"A"}}}, r"facts\.codes: a set"),
        ({"subject": "A\x00"}, r"subject: character 2 is NUL"),
        ({"answers": 1.0}, r"answers: a float"),
        ({"facts": []}, "facts: .* is not a mapping"),
        ({"names": None}, "names: .* is not a mapping"),
        ({"purpose": "registry/seal"}, "purpose: "),
        ({"version": True}, "version: "),
        ({"entry": -1}, "entry: "),
        ({"book": "short"}, "book: "),
        ({"salt": "F" * 32}, "salt: "),
        ({"salt": None}, "salt: "),
        ({"words_hash": ""}, "words_hash: "),
        ({"recorded_at": "2026-03-14T12:15:00Z"}, "recorded_at: .* six decimals"),
        ({"recorded_at": "2026-03-14T12:15:00.000000+00:00"}, "recorded_at: "),
        ({"written_at": "yesterday"}, "written_at: "),
    ],
)
def test_what_would_not_come_back_unchanged_is_refused_by_its_path(changes, path):
    with pytest.raises(ValueError, match=path):
        canonical.leaf_content(entry(**changes))


def test_the_largest_whole_numbers_that_json_keeps_are_accepted():
    written = canonical.leaf_content(entry(facts={"n": [2**53 - 1, -(2**53) + 1]}))
    assert b"[9007199254740991,-9007199254740991]" in written


def test_facts_nested_without_end_are_refused():
    facts = {}
    facts["again"] = facts
    with pytest.raises(ValueError, match="nested deeper than 32 levels"):
        canonical.leaf_content(entry(facts=facts))


json_values = st.recursive(
    st.none()
    | st.booleans()
    | st.integers(-(2**53) + 1, 2**53 - 1)
    | st.text(st.characters(exclude_categories=["Cs"], exclude_characters="\x00")),
    lambda inner: (
        st.lists(inner, max_size=4)
        | st.dictionaries(st.text("abcXYZ_019", max_size=5), inner, max_size=4)
    ),
    max_leaves=12,
)


@given(st.dictionaries(st.text("abc_", min_size=1, max_size=5), json_values, max_size=4))
def test_law_facts_come_back_from_the_bytes_unchanged(facts):
    assert json.loads(canonical.leaf_content(entry(facts=facts)))["facts"] == facts


# -- words -----------------------------------------------------------------------------------

SALT = bytes(range(16))


def test_words_are_hashed_as_a_canonical_string_behind_their_salt():
    # Worked by hand: RFC 8785 §3.2.2.2 escapes the quote and the line end, and nothing else.
    expected = hashlib.sha256(SALT + '"hum \\"gone\\"\\nafter é"'.encode()).hexdigest()
    assert canonical.words_hash(SALT, 'hum "gone"\nafter é') == expected
    assert canonical.words_hash(SALT.hex(), 'hum "gone"\nafter é') == expected


def test_other_words_or_another_salt_give_another_hash():
    hashes = {canonical.words_hash(SALT, "hum"), canonical.words_hash(SALT, "hum ")}
    assert len(hashes | {canonical.words_hash(bytes(16), "hum")}) == 3


@pytest.mark.parametrize(
    ("salt", "words", "reason"),
    [
        (b"", "hum", "16 bytes"),
        ("ab", "hum", "16 bytes"),
        ("no hex", "hum", "hex"),
        (SALT, "A\x00", "NUL"),
        (SALT, "\udc00", "surrogate"),
        (SALT, None, "words are text"),
    ],
)
def test_words_and_salts_of_the_wrong_kind_are_refused(salt, words, reason):
    with pytest.raises(ValueError, match=reason):
        canonical.words_hash(salt, words)

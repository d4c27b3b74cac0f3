"""Seals as people write them down, and what is refused."""

import json

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from collection.core.seal import NoSeal, Seal, read_seal

ROOT = "0123456789abcdef" * 4
SEAL = Seal(2041, ROOT, "ab" * 16, "2026-11-01T09:00:00.000000Z")


@pytest.mark.parametrize(
    "text",
    [
        f"2041:{ROOT}",
        f"  2041 : {ROOT.upper()}\n",
        "2041 entries: " + " ".join(SEAL.groups),
        "2041,\n" + "\n".join(" ".join(SEAL.groups[at : at + 4]) for at in range(0, 16, 4)),
    ],
)
def test_a_seal_is_read_however_its_digits_are_set(text):
    assert read_seal(text) == Seal(2041, ROOT)


def test_a_seal_file_is_read_with_its_book_and_time():
    assert read_seal(json.dumps(SEAL.to_json())) == SEAL
    assert read_seal("\ufeff" + json.dumps(SEAL.to_json(), indent=2)) == SEAL


@settings(max_examples=60)
@given(st.integers(1, 2**53 - 1), st.binary(min_size=32, max_size=32))
def test_law_the_line_of_a_seal_is_read_as_the_seal(size, root):
    seal = Seal(size, root.hex())
    assert read_seal(seal.pair) == seal


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "reads like"),
        (ROOT, "reads like"),
        (f"0:{ROOT}", "from 1"),
        (f"9007199254740992:{ROOT}", "from 1"),
        (f"3:{ROOT[:-1]}", "has 63"),
        (f"3:{ROOT}0", "has 65"),
        (f"3:{ROOT[:-1]}g", "reads like"),
        ("{", "no JSON"),
        ("{}", "no seal"),
        (json.dumps(SEAL.to_json() | {"version": 2}), "version 2"),
        (json.dumps(SEAL.to_json() | {"size": True}), "from 1"),
        (json.dumps(SEAL.to_json() | {"root": 7}), "64 hex"),
        (json.dumps(SEAL.to_json() | {"book": "other"}), "32 hex"),
        ("[" * 30_000, "short"),
    ],
)
def test_what_is_no_seal_is_refused_in_words(text, said):
    with pytest.raises(NoSeal, match=said):
        read_seal(text)

"""Codes as people type them, the count against the list, the draw for a recount."""

from datetime import date
from hashlib import sha256

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from collection.core.stocktake import compare, drawn, list_hash, read_codes, sign_by

KNOWN = {"A-007", "A-012", "G-003", "CASE-07", "TRUCK-A", "E-010"}


@pytest.mark.parametrize(
    ("typed", "codes"),
    [
        ("a7", ("A-007",)),
        ("A 007", ("A-007",)),
        ("a-7", ("A-007",)),
        ("A007", ("A-007",)),
        ("case 7", ("CASE-07",)),
        ("truck a", ("TRUCK-A",)),
        ("a7 a12 g3", ("A-007", "A-012", "G-003")),
        ("A 007 A 012", ("A-007", "A-012")),
        ("a7, a7\na 7", ("A-007",)),
        ("e10;g3", ("E-010", "G-003")),
        ("https://gear.example/mirren-vale/pieces/A-007/", ("A-007",)),
        ("https://gear.example/m/pieces/A-007/ g3", ("A-007", "G-003")),
    ],
)
def test_a_code_is_read_however_it_is_typed(typed, codes):
    found = read_codes(typed, KNOWN)
    assert (found.codes, found.unknown) == (codes, ())


def test_what_is_no_code_is_given_back_as_it_was_typed():
    found = read_codes("a7 x99 B 5 g3", KNOWN)
    assert found.codes == ("A-007", "G-003")
    assert found.unknown == ("X99", "B 5")


def test_what_may_mean_two_codes_is_not_guessed():
    assert read_codes("a1", {"A-1", "A-01"}).unknown == ("A1",)
    assert read_codes("a-01", {"A-1", "A-01"}).codes == ("A-01",)


@given(st.lists(st.sampled_from(sorted(KNOWN)), max_size=6), st.sampled_from([" ", "\n", ", "]))
@settings(max_examples=60)
def test_every_known_code_reads_as_itself(codes, between):
    assert read_codes(between.join(codes), KNOWN).codes == tuple(dict.fromkeys(codes))


codes = st.sampled_from("ABCDEFG")
place = st.sampled_from(["bay", "case", ""])


@given(
    st.dictionaries(codes, st.sampled_from(["bay", "case"])),
    st.dictionaries(codes, place),
    st.sets(codes),
)
@settings(max_examples=60)
def test_every_code_stands_in_one_group(expected, counted, meanwhile):
    found = compare(expected, counted, meanwhile=meanwhile, around={"case": {"bay"}})
    groups = (
        found.as_expected, found.other_place, found.not_seen, found.too_many, found.meanwhile
    )  # fmt: skip
    together = [code for group in groups for code in group]
    assert sorted(together) == sorted(expected.keys() | counted.keys())
    assert not meanwhile & {*found.not_seen, *found.too_many}


def test_a_small_count_by_hand():
    found = compare(
        {"A": "bay 1", "B": "bay 1", "C": "case", "D": "bay 1", "E": "bay 1"},
        {"A": "", "B": "bay 2", "C": "bay 1", "X": "", "Y": ""},
        meanwhile={"E", "Y"},
        around={"case": {"bay 1"}},
    )
    assert found.as_expected == ("A", "C")  # C: in a case that stands in bay 1
    assert found.other_place == ("B",)
    assert found.not_seen == ("D",)
    assert found.too_many == ("X",)
    assert found.meanwhile == ("E", "Y")
    assert not found.clean


def test_the_hash_is_that_of_canonical_json():
    """RFC 8785: members sorted, no white space; SHA-256 by another road."""
    content = {"salt": "00", "counted": [["B", ""]], "expected": [["A", "P-001"]]}
    plain = b'{"counted":[["B",""]],"expected":[["A","P-001"]],"salt":"00"}'
    assert list_hash(content) == sha256(plain).hexdigest()


def test_five_are_drawn_and_anybody_can_draw_them_again():
    listed = "ab" * 32
    codes = [f"A-{n:03d}" for n in range(1, 41)]
    by_hand = sorted(codes, key=lambda c: sha256((listed + " " + c).encode()).hexdigest())[:5]
    assert list(drawn(reversed(codes), listed)) == by_hand


def test_another_list_draws_others_and_few_are_all_drawn():
    codes = [f"A-{n:03d}" for n in range(1, 41)]
    assert drawn(codes, "ab" * 32) != drawn(codes, "cd" * 32)
    assert set(drawn(codes[:3], "ab" * 32)) == set(codes[:3])


def test_each_has_the_same_chance_over_many_lists():
    """A tenth of 50 in each draw of 5; 400 draws, 40 expected a code, within 4 standard errors."""
    codes = [f"A-{n:03d}" for n in range(50)]
    hits = dict.fromkeys(codes, 0)
    for n in range(400):
        for code in drawn(codes, sha256(str(n).encode()).hexdigest()):
            hits[code] += 1
    assert all(abs(count - 40) < 4 * 6 for count in hits.values())


def test_a_second_signature_is_due_thirty_days_later():
    assert sign_by(date(2026, 11, 20)) == date(2026, 12, 20)

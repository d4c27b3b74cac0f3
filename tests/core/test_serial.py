"""Reported numbers against ours. Costs are house figures, no source."""

import random
from functools import cache

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from collection.core.serial import CONFUSABLE, cleaned, search


def brute_distance(report, ours):
    """The definition as a recursion, a second opinion."""

    @cache
    def rest(i, j):
        if i == len(report) or j == len(ours):
            return 100 * (len(report) - i + len(ours) - j)
        one, other = report[i], ours[j]
        if "?" in (one, other):
            cost = 10
        elif one == other:
            cost = 0
        else:
            cost = 25 if any(one in g and other in g for g in CONFUSABLE) else 100
        options = [cost + rest(i + 1, j + 1), 100 + rest(i + 1, j), 100 + rest(i, j + 1)]
        if report[i : i + 2] == ours[j : j + 2][::-1] and len(report[i : i + 2]) == 2:
            options.append(50 + rest(i + 2, j + 2))
        return min(options)

    return rest(0, 0) / 100


def only(reported, serial):
    (match,) = search(reported, [serial])
    return match


@pytest.mark.parametrize(
    ("reported", "serial", "distance", "differs_at", "because"),
    [
        ("A5420", "A5420", 0, (), "the same number"),
        ("a-5420 ", "A5 420", 0, (), "the same number"),
        ("O12345", "012345", 0.25, (0,), "character 1: O looks like 0"),
        ("0I2345", "012345", 0.25, (1,), "character 2: I looks like 1"),
        ("1186", "11?86", 1, (2,), "? missing before character 3"),
        ("11?86", "11286", 0.1, (2,), "character 3 unreadable: ? for 2"),
        ("11286", "11?86", 0.1, (2,), "character 3 unreadable: 2 for ?"),
        ("A5240", "A5420", 0.5, (2, 3), "characters 3 and 4 swapped: 24 for 42"),
        ("A5429", "A5420", 1, (4,), "character 5: 9 is not 0"),
        ("A542", "A5420", 1, (3,), "0 missing at the end"),
        ("A54209", "A5420", 1, (5,), "character 6 too many: 9"),
        (
            "A4520B",
            "A54208",
            0.75,
            (1, 2, 5),
            "characters 2 and 3 swapped: 45 for 54; character 6: B looks like 8",
        ),
    ],
)
def test_a_misreading_costs_what_the_table_says(reported, serial, distance, differs_at, because):
    match = only(reported, serial)
    assert match.distance == pytest.approx(brute_distance(cleaned(reported), cleaned(serial)))
    assert (match.distance, match.differs_at, match.because) == (distance, differs_at, because)


@pytest.mark.parametrize("group", CONFUSABLE)
def test_all_of_a_confusable_group_are_a_quarter_apart(group):
    for one in group:
        for other in group:
            assert only(f"XY{one}", f"XY{other}").distance == (0 if one == other else 0.25)


def test_the_nearest_come_first_and_equal_serials_once():
    ours = ["A5421", "A5420", "A-5420", "A542O", "A5420", "", "A9999"]
    matches = search("A5420", ours)
    assert [match.serial for match in matches] == ["A-5420", "A5420", "A542O", "A5421"]
    assert [match.distance for match in matches] == [0, 0, 0.25, 1]


def test_with_an_unreadable_character_the_same_spelling_still_comes_first():
    assert [m.serial for m in search("11?86", ["11086", "11?86"])] == ["11?86", "11086"]


@pytest.mark.parametrize(
    ("reported", "serial", "found"),
    [
        ("12", "13", False),  # limit 2/3
        ("123", "124", True),  # limit 1
        ("12345", "12999", False),  # 9 for 3, 4 and 5: 3 against a limit of 5/3
        ("123456", "12994", False),
        ("123456", "129956", True),  # 2 against 2
        ("123456", "129946", False),
        ("0", "O", True),  # .25 against a limit of 1/3
        ("1234567890", "12345678", True),
        ("1234567890", "1234567", False),
    ],
)
def test_the_limit_is_a_third_of_the_length_and_at_most_two(reported, serial, found):
    assert bool(search(reported, [serial])) is found


def test_nothing_matches_nothing():
    assert search(" - ", ["A1", ""]) == ()
    assert search("A1", []) == ()
    assert search("A1", ["", "-"]) == ()


def test_line_ends_and_other_alphabets_in_serials_do_no_harm():
    assert [m.serial for m in search("ÄB-12", ["äb\n1\t2", "AB12", "№12345"])] == [
        "äb\n1\t2",
        "AB12",
    ]
    assert search("X" * 400, ["X" * 400])[0].distance == 0
    assert search("12345", ["123\u201345", "\ud83d2345"])[0].serial == "123\u201345"


alphabet = st.text("0OQD17LIS5B832ZG6CUVKH9P?A4-", max_size=9)


@settings(deadline=None)
@given(alphabet, st.lists(alphabet, max_size=12))
def test_law_the_search_finds_what_the_definition_finds(reported, serials):
    report = cleaned(reported)
    limit = min(2, len(report) / 3)
    expected = {
        serial: brute_distance(report, cleaned(serial)) for serial in serials if cleaned(serial)
    }
    expected = {serial: cost for serial, cost in expected.items() if report and cost <= limit}
    found = search(reported, serials)
    assert {match.serial: match.distance for match in found} == expected
    assert [m.distance for m in found] == sorted(m.distance for m in found)
    for match in found:
        assert all(0 <= place < len(report) for place in match.differs_at)
        assert (match.because == "the same number") == (match.distance == 0)


def test_a_misread_number_is_found_among_many():
    rng = random.Random(7)
    ours = [f"{rng.choice('ABK')}{rng.randrange(10**6):06d}" for _ in range(20_000)]
    wanted = ours[12_345]
    misread = wanted[0] + wanted[1:].translate(str.maketrans("015", "OIS"))
    assert wanted in [match.serial for match in search(misread, ours)]

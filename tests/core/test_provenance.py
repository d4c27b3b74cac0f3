"""The provenance paragraph against the published conventions.

Sources: American Alliance of Museums, The AAM Guide to Provenance Research (2001), as quoted in
Carnegie Museum of Art, provenance standard, draft 0.1 (14 March 2015) [CMOA]; National Gallery of
Australia, provenance terms [NGA]. The order of a clause and the forms of dates are CMOA's.
"""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from collection.core.partial_date import PartialDateError
from collection.core.provenance import EXPLAINED, Clause, provenance
from collection.core.provenance_dates import date_words, period_words

MAKER = Clause(name="Corrie", place="Greenock", begin="1951", end="1953")
BUYER = Clause(name="Elspeth Muir", method="bought", begin="1953", end="1970")


def said(*clauses):
    return provenance(clauses).paragraph


def test_t1_a_direct_transfer_is_joined_by_a_semicolon():
    """AAM: a semicolon says that it passed directly between the two."""
    bought = Clause(name="Elspeth Muir", method="bought", direct=True, begin="1953")
    assert said(MAKER, bought) == (
        "Corrie, Greenock, 1951 until 1953; purchased by Elspeth Muir, 1953."
    )
    named = Clause(name="Elspeth Muir", direct=True)
    assert said(MAKER, named).endswith("; Elspeth Muir.")


@pytest.mark.parametrize("direct", [None, False])
def test_t2_what_is_not_known_to_be_direct_is_a_gap(direct):
    """AAM: a full stop where direct transfer did not occur or is not known; CMOA: the default."""
    later = Clause(name="Elspeth Muir", method="bought", direct=direct)
    assert said(MAKER, later) == "Corrie, Greenock, 1951 until 1953. Purchased by Elspeth Muir."


def test_t3_a_dealer_stands_in_parentheses_with_dates_and_the_stop_outside():
    """CMOA: the clause of a dealer is wholly in parentheses: '(Dealer, City, 1891);'."""
    dealer = Clause(name="Brae Music", place="Glasgow", begin="1891", dealer=True)
    assert said(dealer, Clause(name="Muir", direct=True)) == "(Brae Music, Glasgow, 1891); Muir."
    assert provenance([Clause(name="Brae Music", dealer=True, note="ledger")]).text == (
        "(Brae Music) [1]. NOTES: [1] ledger."
    )


def test_t4_doubt_stands_where_it_belongs():
    """CMOA: 'Possibly' before the whole, a trailing '?' on one fact; AAM: possibly, probably."""
    assert said(Clause(name="Muir", method="descended", certainty="doubtful", note="x")) == (
        "Possibly by descent to Muir [1]."
    )
    assert said(Clause(name="Muir", certainty="likely", note="x")) == "Probably Muir [1]."
    assert said(Clause(name="Muir", begin="1959?")) == "Muir, 1959?."
    assert said(Clause(name="Muir", name_doubted=True)) == "Muir?."
    assert said(Clause(name="Muir", place="Glasgow", place_doubted=True)) == "Muir, Glasgow?."
    assert said(Clause(name="Muir", born="1880?", died="1990")) == "Muir [1880?-1990]."
    assert said(Clause(name="Muir", born="1880")) == "Muir [1880-]."


def test_the_order_of_a_clause_is_that_of_the_standard():
    """CMOA: 'Possibly by descent to Name, the maker [1911?-1993], City, before 1990 [1].'"""
    clause = Clause(
        name="John Doe", method="descended", relation="the maker", born="1911?", died="1993",
        place="City, ST", begin="../1990", certainty="doubtful", note="told",
    )  # fmt: skip
    assert said(clause) == (
        "Possibly by descent to John Doe, the maker [1911?-1993], City, ST, before 1990 [1]."
    )


def test_t5_each_clause_with_evidence_has_one_note_in_order_and_none_is_orphaned():
    """AAM: footnotes document the sources; CMOA: '[n]' last before the stop, then ' NOTES:'."""
    made = provenance(
        [Clause(name="A", note="first."), Clause(name="B"), Clause(name="C", note="second")]
    )
    assert made.text == "A [1]. B. C [2]. NOTES: [1] first. [2] second."


@given(st.lists(st.booleans(), max_size=30))
def test_t5_notes_are_numbered_as_they_are_called(noted):
    clauses = [Clause(name=f"N{i}", note=f"n{i}" if has else "") for i, has in enumerate(noted)]
    made = provenance(clauses)
    calls = [int(part.split("]")[0]) for part in made.paragraph.split("[")[1:]]
    assert calls == list(range(1, sum(noted) + 1))
    assert made.notes == tuple(f"n{i}." for i, has in enumerate(noted) if has)


def test_t6_years_without_a_holder_contradict_a_direct_transfer():
    """Follows from AAM's semicolon: passed directly leaves no years between."""
    gap = Clause(name="Rae", direct=True, begin="1975")
    assert "from 1970 to 1975" in provenance([BUYER, gap]).warnings[0]
    assert provenance([BUYER, Clause(name="Rae", direct=True, begin="1970")]).warnings == ()
    assert provenance([BUYER, Clause(name="Rae", begin="1975")]).warnings == ()


def test_t7_owners_whose_times_overlap_contradict_a_gap():
    """Follows from AAM's full stop: two chains that are not joined cannot overlap."""
    early = Clause(name="Rae", begin="1965")
    assert "overlap" in provenance([BUYER, early]).warnings[0]
    assert provenance([BUYER, Clause(name="Rae", begin="1970")]).warnings == ()


def test_a_doubted_clause_without_a_note_is_pointed_at():
    """AAM: possibly and probably are explained in a footnote."""
    assert "no note" in provenance([Clause(name="Muir", certainty="doubtful")]).warnings[0]


def test_nobody_known_and_nobody_named_are_never_blank():
    """CMOA: no blank party, never identifying details of a private one; Cornell: 'Private
    collection'."""
    assert said(Clause()) == "Unknown collector."
    hidden = Clause(name="Elspeth Muir", private=True, direct=True)
    assert said(MAKER, hidden).endswith("; private collection.")
    role = Clause(name="Elspeth Muir", private=True, role="a lap steel player")
    assert said(role) == "A lap steel player."
    assert "Muir" not in said(MAKER, hidden) + said(role)


@pytest.mark.parametrize(
    ("edtf", "words"),
    [
        ("18XX", "19th century"), ("20XX", "21st century"), ("10XX", "11th century"),
        ("199X", "1990s"), ("1990", "1990"), ("1990-10", "October 1990"),
        ("1990-10-11", "October 11, 1990"), ("../1990", "before 1990"), ("1959?", "1959?"),
        ("1885-10?", "October 1885?"), ("", ""),
    ],
)  # fmt: skip
def test_dates_are_written_as_the_standard_writes_them(edtf, words):
    """CMOA, dates: century, decade, year, month, day, before; trailing '?'."""
    assert date_words(edtf) == words


@pytest.mark.parametrize(("edtf", "words"), [("1961~", "about 1961"), ("1961-21", "spring 1961")])
def test_what_the_standard_has_no_words_for_keeps_ours(edtf, words):
    """House rule."""
    assert date_words(edtf) == words


def test_a_period_has_its_two_ends():
    """CMOA: 'until …', '… until …'."""
    assert period_words("1959", "1964-03") == "1959 until March 1964"
    assert period_words("", "1885-10?") == "until October 1885?"
    assert period_words("1891", "") == "1891"


def test_what_cannot_be_written_is_refused():
    with pytest.raises(ValueError, match="99"):
        provenance([Clause(name="x", note="y")] * 100)
    with pytest.raises(ValueError, match="method"):
        provenance([Clause(name="x", method="swapped")])
    with pytest.raises(PartialDateError):
        provenance([Clause(name="x", begin="last summer")])


def test_the_format_is_explained_and_says_that_a_gap_is_no_theft():
    """AAM: publish an explanation of the format; Philadelphia Museum of Art: the last sentence."""
    assert "A gap is not evidence of theft." in EXPLAINED
    assert provenance([]).text == ""

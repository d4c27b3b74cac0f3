"""The build window: worked by hand; dates of marks after the published reading of each code.

The rule that a piece is newer than its newest original part, and that tubes never count: common
practice of dating by parts. 60 days and trust levels are house rules.
"""

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from collection.core.build_window import (
    NEVER_COUNTS,
    BuildWindow,
    DocumentDate,
    PartDate,
    both_windows,
    build_window,
)
from collection.core.datecode import readings
from collection.core.partial_date import PartialDate


def pot(mark, judgement="original", *, span=None, position="volume pot", kind="pot", seen_by=""):
    return PartDate(
        position=position,
        kind=kind,
        judgement=judgement,
        mark=mark,
        readings=readings(mark, span=span)[:1],
        seen_by=seen_by,
    )


def paper(edtf, what="invoice"):
    return DocumentDate(what, PartialDate.parse(edtf))


def window(parts, documents=(), trust=("original",)):
    return build_window(parts, documents, trust=set(trust))


# 304728 is week 28 of a year ending in 7; 300guitars.com picks 1967. The first Sunday of 1967 is
# 1 January, so week 28 is nominally 9 to 15 July and begins on 2 July at the earliest.
STACKPOLE = {"mark": "304728", "span": (1960, 1969)}
WEEK_28 = date(1967, 7, 2)


def test_the_newest_original_part_sets_the_bound_and_is_named():
    found = window([pot(**STACKPOLE), pot("1346320", position="tone pot")], [paper("1968-05")])
    assert (found.not_before, found.not_after) == (WEEK_28, date(1968, 5, 31))
    assert found.set_by.position == "volume pot"
    assert found.because == (
        "Not before 2 July 1967: volume pot 304728 (Stackpole, week 28 of 1967), original. "
        "Not after 31 May 1968: invoice, May 1968."
    )
    assert found.conflicts == ()


def test_likely_parts_count_only_when_trusted():
    parts = [pot(**STACKPOLE), pot("1377415", "likely", position="tone pot")]
    confirmed, with_likely = both_windows(parts, [])
    assert confirmed.not_before == WEEK_28
    assert with_likely.not_before.year == 1974
    assert with_likely.set_by.position == "tone pot"


@pytest.mark.parametrize("judgement", ["unknown", "replaced"])
def test_what_was_replaced_or_never_judged_bounds_nothing(judgement):
    found = window([pot(**STACKPOLE, judgement=judgement)], trust=("original", "likely"))
    assert found == BuildWindow(None, None, "No dated part counts. No dated document.", ())


@pytest.mark.parametrize("kind", sorted(NEVER_COUNTS))
def test_tubes_strings_lamps_and_fuses_never_count(kind):
    assert window([pot("1377833", kind=kind), pot(**STACKPOLE)]).not_before == WEEK_28


def test_an_open_decade_bounds_by_the_earliest_way_to_read_it():
    part = PartDate("volume pot", "pot", "original", "304728", readings("304728"))
    assert window([part]).not_before.year == 1947
    assert "1947, 1957, 1967, 1977, 1987 or 1997" in window([part]).because


def test_a_written_date_counts_where_no_code_does():
    pencil = PartDate("neck heel", "neck", "original", "6-61", dated=PartialDate.parse("1961-06"))
    assert window([pencil]).not_before == date(1961, 6, 1)
    undated = PartDate("bridge", "bridge", "original", "", dated=PartialDate.parse("../1961"))
    assert window([undated]).set_by is None


@pytest.mark.parametrize(("days", "is_conflict"), [(1, False), (60, False), (61, True)])
def test_a_mark_up_to_sixty_days_after_a_document_is_stamped_ahead(days, is_conflict):
    document = paper(str(WEEK_28 - timedelta(days=days)))
    found = window([pot(**STACKPOLE)], [document])
    assert bool(found.conflicts) == is_conflict
    assert found.not_before == WEEK_28 - timedelta(days=60)
    assert "less 60 days" in found.because


def test_no_allowance_is_taken_where_none_is_needed():
    assert window([pot(**STACKPOLE)], [paper(str(WEEK_28))]).not_before == WEEK_28


def test_a_part_later_than_the_first_document_is_a_conflict_in_words():
    found = window([pot(**STACKPOLE, seen_by="Ines Holt")], [paper("1966-03-03"), paper("1970")])
    assert found.conflicts == (
        "volume pot 304728 (Stackpole, week 28 of 1967), original after Ines Holt is 486 days "
        "later than invoice, 3 March 1966: one date is wrong, or the part is not original.",
    )
    assert found.not_after == date(1966, 3, 3)


def test_two_people_who_date_one_part_differently_stand_side_by_side():
    said = [
        PartDate("tuners", "tuner", "original", dated=PartialDate.parse("1958"), seen_by="Ines"),
        PartDate("tuners", "tuner", "original", dated=PartialDate.parse("1962"), seen_by="Jonah"),
    ]
    assert window(said).conflicts == (
        "Statements differ on the tuners: tuners (1958), original after Ines; "
        "tuners (1962), original after Jonah.",
    )
    judged = [pot(**STACKPOLE), pot(**STACKPOLE, judgement="replaced")]
    assert len(window(judged).conflicts) == 1
    agreed = [
        pot(**STACKPOLE),
        PartDate("volume pot", "pot", "original", dated=PartialDate.parse("1967")),
    ]
    assert window(agreed).conflicts == ()


def test_a_document_without_an_end_bounds_nothing():
    assert window([], [paper("1961/..")]).not_after is None
    assert window([], [paper("1961/.."), paper("1964~")]).not_after == date(1964, 12, 31)


@pytest.mark.parametrize("trust", [set(), {"likely"}, {"original", "unknown"}, {"replaced"}])
def test_another_trust_is_refused(trust):
    with pytest.raises(ValueError, match="Trust"):
        build_window([], [], trust=trust)


parts = st.lists(
    st.builds(
        lambda year, week, judgement, kind, place: pot(
            f"304{year}{week:02d}", judgement, position=f"place {place}", kind=kind
        ),
        st.integers(45, 99),
        st.integers(1, 53),
        st.sampled_from(["original", "likely", "unknown", "replaced"]),
        st.sampled_from(["pot", "speaker", "tube", "fuse"]),
        st.integers(1, 4),
    ),
    max_size=6,
)
papers = st.lists(st.integers(1945, 2001).map(lambda year: paper(str(year))), max_size=3)


@given(parts, papers)
def test_trusting_more_never_makes_the_window_wider(stated, shown):
    confirmed, with_likely = both_windows(stated, shown)
    assert confirmed.not_after == with_likely.not_after
    assert set(confirmed.counted) <= set(with_likely.counted)
    assert set(confirmed.conflicts) <= set(with_likely.conflicts)
    if confirmed.set_by:
        assert confirmed.not_before <= with_likely.not_before


@given(parts, papers)
def test_a_window_is_upside_down_only_where_a_conflict_says_so(stated, shown):
    found = window(stated, shown)
    if found.not_before and found.not_after and found.not_before > found.not_after:
        assert found.conflicts


@given(parts, papers, st.randoms(use_true_random=False))
def test_the_order_of_statements_does_not_move_the_bounds(stated, shown, draw):
    found, again = window(stated, shown), window(draw.sample(stated, len(stated)), shown[::-1])
    assert (found.not_before, found.not_after) == (again.not_before, again.not_after)


@given(parts, papers)
def test_the_bound_is_the_naive_one(stated, shown):
    counted = [
        part.readings[0].earliest
        for part in stated
        if part.judgement == "original" and part.kind in {"pot", "speaker"}
    ]
    found = window(stated, shown)
    if found.not_after:
        ahead = timedelta(days=60)
        counted = [made - ahead if made > found.not_after else made for made in counted]
    assert found.not_before == max(counted, default=None)

"""The ladder's geometry, and statements, claims and parts that feed it."""

from datetime import date

import pytest

from collection.core.build_window import CONFIRMED, DocumentDate, build_window
from collection.core.built_claims import Claim, contradictions
from collection.core.drawing.ladder import Dated, ladder, scale_for
from collection.core.partial_date import PartialDate
from collection.core.statements import Statement, by_position, open_readings
from collection.core.survey_parts import in_order, kind_of_part, parts_of

POT = Dated("volume pot", date(1961, 4, 1), date(1961, 4, 30), "original")


def drawn(rows, **bounds):
    known = {"not_before": None, "not_before_likely": None, "not_after": None,
             "years": (1958, 1967), **bounds}  # fmt: skip
    return ladder(rows, **known)


def test_a_year_takes_a_tenth_of_ten_years():
    (rung,) = drawn([Dated("neck", date(1960, 1, 1), date(1960, 12, 31), "likely")]).rungs
    assert rung.x == pytest.approx(20, abs=0.02)
    assert rung.right == pytest.approx(30, abs=0.05)
    assert (rung.open_start, rung.open_end) == (False, False)


def test_an_open_date_runs_to_the_edge_and_says_so():
    (rung,) = drawn([Dated("tuners", date(1962, 1, 1), None, "replaced")]).rungs
    assert rung.right == 100
    assert rung.open_end
    assert not rung.open_start


def test_what_lies_outside_stays_in_the_drawing_at_its_edge():
    (rung,) = drawn([Dated("invoice", date(2016, 3, 12), date(2016, 3, 12), "document")]).rungs
    assert rung.right == 100
    assert rung.width > 0
    assert rung.open_end


def test_rungs_keep_the_order_they_are_given_in():
    other = Dated("neck", date(1960, 1, 1), None, "likely", "another says otherwise")
    found = drawn([POT, other, POT])
    assert [rung.words for rung in found.rungs] == ["volume pot", "neck", "volume pot"]
    assert found.rungs[1].wrong == "another says otherwise"


def test_a_bound_is_drawn_once_where_both_levels_of_trust_agree():
    same = drawn([POT], not_before=date(1961, 4, 1), not_before_likely=date(1961, 4, 1))
    assert [bound.words for bound in same.bounds] == ["not before 1 Apr 1961"]
    later = drawn([POT], not_before=date(1961, 4, 1), not_before_likely=date(1963, 1, 1))
    assert [bound.firm for bound in later.bounds] == [True, False]


def test_a_window_that_contradicts_itself_is_not_drawn():
    low, high = date(1963, 1, 1), date(1961, 1, 1)
    assert drawn([POT], not_before=low, not_after=high).window is None
    assert drawn([POT]).window is None
    assert drawn([POT], not_before=high, not_after=low).window == pytest.approx((30, 20), abs=0.1)


def test_a_document_of_another_century_does_not_stretch_the_scale():
    invoice = Dated("invoice", date(2016, 3, 12), date(2016, 3, 12), "document")
    assert scale_for([POT, invoice], (1958, 1963)) == (1957, 1964)
    photo = Dated("photo", date(1968, 6, 1), date(1968, 6, 1), "document")
    assert scale_for([POT, photo], (1958, 1963)) == (1957, 1969)
    assert scale_for([], None) == (1949, 1971)


def test_years_on_the_line_are_few_enough_to_read():
    assert len(drawn([POT], years=(1890, 2020)).ticks) <= 10
    with pytest.raises(ValueError, match="no length"):
        drawn([POT], years=(1963, 1960))


# -- statements ----------------------------------------------------------------------------
JONAH = Statement("tuners", "original", made="1959", source="told", certainty="likely",
                  who="Jonah Rae", order=1)  # fmt: skip
SELLER = Statement("tuners", "replaced", made="1962/..", source="told", certainty="doubtful",
                   who="the seller", order=2)  # fmt: skip


def test_the_surer_statement_stands_first_and_the_other_stays():
    (tuners,) = by_position([SELLER, JONAH], ())
    assert tuners.best == JONAH
    assert tuners.others == (SELLER,)
    assert tuners.disputed(None)


def test_seen_goes_before_told_and_a_photo_before_none():
    seen = Statement("tuners", "likely", source="seen", who="Ines", certainty="likely")
    shown = Statement("tuners", "likely", source="document", who="Bo", certainty="likely",
                      has_photo=True)  # fmt: skip
    (tuners,) = by_position([JONAH, seen, shown], ())
    assert tuners.said == (shown, seen, JONAH)


def test_one_witness_who_looks_again_is_heard_once():
    again = Statement("tuners", "unknown", source="told", who="Jonah Rae", order=5)
    (tuners,) = by_position([JONAH, again], ())
    assert tuners.said == (again,)
    assert not tuners.disputed(None)


def test_positions_keep_the_order_of_the_survey():
    found = by_position([JONAH], ("neck", "nut"))
    assert [one.name for one in found] == ["neck", "nut", "tuners"]
    assert found[0].best is None


def test_a_code_is_read_within_the_years_of_the_design_and_shown_when_none_fits():
    """304728 as in 'Stackpole, week 28, the year ends in 7' (300guitars.com)."""
    assert [one.years for one in open_readings("304728", (1964, 1968))] == [(1967,)]
    # '1377-8-33' would be 1958, but 137 is a maker on the list: 24or.ru copy, week 33 of 1978
    late = open_readings("1377833", (1960, 1963))
    assert (late[0].split, late[0].years) == ("137-78-33", (1978,))
    assert open_readings("30?728", None) == ()
    assert open_readings("no code", (1960, 1963)) == ()


def test_the_reading_that_was_taken_is_the_one_that_counts():
    pot = Statement("pot", "original", mark="304728", reading="30-47-28")
    assert [one.years for one in pot.readings(None)] == [(1947,)]
    both = Statement("pot", "original", mark="999114").readings(None)
    assert [one.split for one in both] == ["999-1-14", "99-91-14"]


# -- claims ---------------------------------------------------------------------------------
def window_of(made="1961-04", document=""):
    part = Statement("volume pot", "original", made=made).part(None)
    shown = [DocumentDate("photo", PartialDate.parse(document))] if document else []
    return build_window([part], shown, trust=CONFIRMED)


def test_a_claim_of_a_year_before_the_newest_original_part_is_contradicted():
    claim = Claim("the invoice", PartialDate.parse("1959"))
    (said,) = contradictions([claim], window_of())
    assert said.startswith("the invoice says built 1959: volume pot")
    assert contradictions([Claim("the invoice", PartialDate.parse("1961"))], window_of()) == ()


def test_a_claim_of_a_year_after_the_first_photo_is_contradicted_by_the_photo():
    claim = Claim("the plate", PartialDate.parse("1966"))
    (said,) = contradictions([claim], window_of(document="1964-05"))
    assert said.startswith("the plate says built 1966: photo, May 1964 contradicts it.")


def test_the_firmest_window_is_named_where_several_contradict():
    firm, weak = window_of("1961-04"), window_of("1962")
    claim = Claim("the invoice", PartialDate.parse("1959"))
    (said,) = contradictions([claim], firm, weak)
    assert "April 1961" in said
    late = Claim("the invoice", PartialDate.parse("1961"))
    (said,) = contradictions([late], firm, weak)
    assert "(1962)" in said


def test_nothing_is_contradicted_where_nothing_bounds():
    empty = build_window([], [], trust=CONFIRMED)
    assert contradictions([Claim("the plate", PartialDate.parse("1966"))], empty) == ()


# -- parts ----------------------------------------------------------------------------------
def test_tubes_strings_lamps_and_fuses_are_known_as_what_never_counts():
    names = ("V1", "output tubes", "valve, first", "strings", "panel lamp", "mains fuse")
    assert [kind_of_part(name) for name in names] == [
        "tube", "tube", "tube", "string", "lamp", "fuse"
    ]  # fmt: skip
    assert kind_of_part("mains transformer") == "transformer"
    assert kind_of_part("") == ""


def test_every_kind_of_piece_that_bears_dates_has_a_list():
    for kind, family in (("instrument", "lap steel"), ("amplifier", "head"), ("effect", ""),
                         ("microphone", "ribbon microphone"), ("cabinet", "")):  # fmt: skip
        assert len(parts_of(kind, family)) >= 5
    assert "loudspeaker" in parts_of("amplifier", "combo amplifier")
    assert "loudspeaker" not in parts_of("amplifier", "head")
    assert in_order(("neck", "nut"), ("nut", "pencil mark")) == ("neck", "nut", "pencil mark")

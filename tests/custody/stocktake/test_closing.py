"""Closing: differences in one act, moves meanwhile apart, each thing at its own moment."""

import pytest

from collection.core.entry import from_us
from collection.custody import actions as custody
from collection.custody.stocktake import actions, closing, queries
from collection.custody.stocktake.locking import CountShut
from collection.custody.whereabouts import whereabouts
from collection.ledger.telling import Telling


def counted(shelf, codes, *, by=None, row=None):
    row = row or shelf.began()
    actions.mark(stocktake=row, by=by or shelf.by, codes=codes)
    shelf.later()
    return actions.finish(stocktake=row, by=shelf.by)


def compared(shelf, row):
    return queries.comparison(row, whereabouts(shelf.by)).groups


def test_one_not_found_and_one_too_many_go_into_the_book_in_one_act(shelf):
    row = counted(shelf, "A-007 G-003 G-004 CASE-07 E-001")
    event = closing.close(stocktake=row, by=shelf.by)
    (missed,) = shelf.entries("not_found")
    assert (missed.subject.code, missed.facts["looked_at"]) == ("A-012", shelf.bay.code)
    seen = {e.subject.code for e in shelf.entries("sighted")}
    assert seen == {"A-007", "G-003", "G-004", "CASE-07", "E-001"}
    assert {e.act for e in (missed, event, *shelf.entries("sighted"))} == {event.act}
    assert shelf.state("A-012").standing == "not_found"
    assert shelf.state("E-001").place.code == shelf.bay.code
    facts = event.facts
    assert (facts["expected"], facts["as_expected"]) == (5, 4)
    assert (facts["not_seen"], facts["too_many"], facts["alone"]) == (1, 1, True)


def test_a_case_that_was_not_expected_hangs_where_it_was_counted_with_all_in_it(shelf):
    row = counted(shelf, "CASE-07 E-001", row=shelf.began(shelf.next_bay))
    closing.close(stocktake=row, by=shelf.by)
    assert shelf.state("CASE-07").place.code == shelf.next_bay.code
    place = shelf.state("G-003").place
    assert whereabouts(shelf.by).words(place.pk) == "Warehouse, Bay 2, Case 07"


def test_a_case_counted_inside_itself_stays_where_it_hung(shelf):
    row = shelf.began()
    actions.mark(stocktake=row, by=shelf.by, codes="CASE-07", at=shelf.case)
    closing.close(stocktake=actions.finish(stocktake=row, by=shelf.by), by=shelf.by)
    shelf.case.refresh_from_db()
    assert shelf.case.inside == shelf.bay


def test_what_lies_in_a_case_stays_in_the_case(shelf):
    row = shelf.began()
    actions.mark(stocktake=row, by=shelf.by, codes="G-003", at=None)
    actions.finish(stocktake=row, by=shelf.by)
    closing.close(stocktake=row, by=shelf.by)
    assert shelf.state("G-003").place.code == "CASE-07"


def test_a_thing_in_another_place_inside_is_put_right(shelf):
    row = shelf.began(shelf.bay.inside)
    actions.mark(stocktake=row, by=shelf.by, codes="A-007", at=shelf.next_bay)
    actions.finish(stocktake=row, by=shelf.by)
    assert compared(shelf, row).other_place == ("A-007",)
    closing.close(stocktake=row, by=shelf.by)
    assert shelf.state("A-007").place.code == shelf.next_bay.code


def test_what_moved_while_counting_is_no_difference(shelf):
    row = shelf.began()
    custody.move(**shelf.given(), code="A-012", to=shelf.next_bay.code)  # went before it was seen
    custody.move(**shelf.given(), code="E-001", to=shelf.bay.code)  # came, and was then seen
    shelf.later()
    row = counted(shelf, "A-007 G-003 G-004 CASE-07 E-001", row=row)
    groups = compared(shelf, row)
    assert groups.meanwhile == ("A-012", "E-001")
    assert groups.clean
    closing.close(stocktake=row, by=shelf.by)
    assert shelf.entries("not_found") == []
    assert shelf.state("A-012").place.code == shelf.next_bay.code


def test_what_was_in_a_case_that_went_is_no_difference_either(shelf):
    row = shelf.began()
    custody.move(**shelf.given(), code="CASE-07", to=shelf.next_bay.code)
    row = counted(shelf, "A-007 A-012 G-004", row=row)
    assert compared(shelf, row).meanwhile == ("CASE-07", "G-003")


def test_a_move_put_right_in_the_book_meanwhile_is_no_difference(shelf):
    row = shelf.began()
    told = Telling(happened="2020-01-01")  # long ago, written down only now
    custody.move(**shelf.given(), code="A-012", to=shelf.next_bay.code, telling=told)
    row = counted(shelf, "A-007 G-003 G-004 CASE-07", row=row)
    assert compared(shelf, row).meanwhile == ("A-012",)


def test_a_move_after_the_count_stays_the_later_word(shelf):
    row = shelf.began()
    actions.mark(stocktake=row, by=shelf.by, codes="A-007 A-012 G-003 G-004 CASE-07")
    shelf.later()
    custody.move(**shelf.given(), code="A-007", to=shelf.next_bay.code)
    shelf.later()
    actions.finish(stocktake=row, by=shelf.by)
    closing.close(stocktake=row, by=shelf.by)
    assert shelf.state("A-007").place.code == shelf.next_bay.code
    sighted = next(e for e in shelf.entries("sighted") if e.subject.code == "A-007")
    mark = row.marks.get(thing__code="A-007")
    assert from_us(sighted.placed_us) == mark.seen_at.replace(microsecond=0)


def test_a_stolen_piece_seen_stays_stolen_and_is_asked_about(shelf):
    custody.report_theft(**shelf.given(), pieces=["E-001"])
    row = counted(shelf, "A-007 A-012 G-003 G-004 CASE-07 E-001")
    closing.close(stocktake=row, by=shelf.by)
    assert shelf.state("E-001").standing == "stolen"
    (asked,) = shelf.entries("asked")
    assert "stolen" in asked.facts["question"]


def test_a_missed_piece_seen_is_found_again(shelf):
    custody.not_found(**shelf.given(), code="A-012", looked_at=shelf.bay.code)
    row = counted(shelf, "A-007 A-012 G-003 G-004 CASE-07")
    closing.close(stocktake=row, by=shelf.by)
    assert shelf.state("A-012").standing == "held"


def test_something_without_a_label_becomes_a_question(shelf):
    row = shelf.began()
    actions.mark_unlabelled(stocktake=row, by=shelf.by, words="Cabinet, no code", at=shelf.case)
    row = counted(shelf, "A-007 A-012 G-003 G-004 CASE-07", row=row)
    event = closing.close(stocktake=row, by=shelf.by)
    (asked,) = shelf.entries("asked")
    assert "Cabinet, no code" in asked.facts["question"]
    assert asked.facts["about"] == row.code
    assert event.facts["unlabelled"] == 1


def test_who_counted_stands_beside_each_and_in_the_result(shelf):
    row = shelf.began()
    actions.mark(stocktake=row, by=shelf.other, codes="A-007")
    row = counted(shelf, "A-012 G-003 G-004 CASE-07", row=row)
    event = closing.close(stocktake=row, by=shelf.by)
    notes = {e.subject.code: (e.source, e.source_note) for e in shelf.entries("sighted")}
    assert notes["A-007"] == ("told", "counted by Jonah Rae")
    assert notes["A-012"] == ("seen", "")
    assert event.facts["counted_by"] == sorted({shelf.by.code, shelf.other.code})
    assert event.facts["alone"] is False


def test_late_additions_are_said_in_the_book(shelf):
    row = counted(shelf, "A-007 G-003 G-004 CASE-07")
    actions.mark(stocktake=row, by=shelf.by, codes="A-012")
    event = closing.close(stocktake=row, by=shelf.by)
    late = [e.subject.code for e in shelf.entries("sighted") if "Added after" in e.words]
    assert late == ["A-012"]
    assert event.facts["late"] == 1


def test_a_double_tap_closes_once(shelf):
    row = counted(shelf, "A-007")
    first = closing.close(stocktake=row, by=shelf.by, telling=Telling(once="tap"))
    again = closing.close(stocktake=row, by=shelf.by, telling=Telling(once="tap"))
    assert first.sequence == again.sequence
    assert len(shelf.entries("stocktaken")) == 1


def test_a_blind_count_is_not_closed_and_a_closed_one_not_counted(shelf):
    row = shelf.began()
    with pytest.raises(CountShut, match="done"):
        closing.close(stocktake=row, by=shelf.by)
    row = counted(shelf, "A-007", row=row)
    closing.close(stocktake=row, by=shelf.by)
    with pytest.raises(CountShut, match="closed"):
        actions.mark(stocktake=row, by=shelf.by, codes="A-012")


def test_a_clean_count_of_nothing_closes_too(shelf):
    empty = custody.add_place(**shelf.given(), name="Bay 3", kind="room")
    row = shelf.began(empty)
    row = actions.finish(stocktake=row, by=shelf.by)
    event = closing.close(stocktake=row, by=shelf.by)
    assert event.facts["expected"] == 0


def test_closing_a_large_count_takes_a_fixed_number_of_queries(
    shelf, django_assert_max_num_queries
):
    from collection.catalogue.actions import add_piece

    for number in range(40):
        code = f"M-{number:03d}"
        add_piece(**shelf.given(), code=code, kind="microphone")
        custody.move(**shelf.given(), code=code, to=shelf.bay.code)
    row = counted(shelf, " ".join(f"M-{n:03d}" for n in range(38)))
    with django_assert_max_num_queries(60):
        closing.close(stocktake=row, by=shelf.by)

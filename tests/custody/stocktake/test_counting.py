"""Counting: the list of the moment, codes forgiven, nothing added silently, nothing twice."""

import pytest
from django.db import connection

from collection.catalogue.actions import add_piece
from collection.core.events.lent import Lent
from collection.custody import actions as custody
from collection.custody.stocktake import actions, queries
from collection.custody.stocktake.locking import CountShut
from collection.ledger.actions import as_told, open_book
from tests.catalogue.photo_samples import drawn, saved


def test_the_list_is_all_that_the_book_has_there_with_the_cases(shelf):
    row = shelf.began()
    bay, case = shelf.bay.code, "CASE-07"
    assert row.expected == {
        "A-007": bay, "A-012": bay, "G-004": bay, "G-003": case, case: bay
    }  # fmt: skip


def test_what_is_lent_stolen_or_missed_is_not_looked_for(shelf):
    party = custody.add_party(**shelf.given(), name="Borrower")
    with open_book(shelf.collection, shelf.by) as book:
        book.append(Lent(to=party.code), "A-007", as_told(book, None))
    custody.report_theft(**shelf.given(), pieces=["A-012"])
    custody.not_found(**shelf.given(), code="G-004", looked_at=shelf.bay.code)
    assert set(shelf.began().expected) == {"G-003", "CASE-07"}


def test_what_was_put_there_with_a_holder_is_looked_for(shelf):
    party = custody.add_party(**shelf.given(), name="Jonah Rae")
    custody.move(**shelf.given(), code="A-007", to=shelf.bay.code, holder=party.code)
    assert "A-007" in shelf.began().expected


def test_codes_are_read_as_they_are_typed_and_counted_once(shelf):
    row = shelf.began()
    first = actions.mark(stocktake=row, by=shelf.by, codes="a7, A 012 x99")
    again = actions.mark(stocktake=row, by=shelf.other, codes="A-007\ncase 7")
    assert (first.new, first.unknown) == (("A-007", "A-012"), ("X99",))
    assert (again.new, again.again) == (("CASE-07",), ("A-007",))
    assert row.marks.count() == 3


def test_what_is_added_after_done_is_marked_late(shelf):
    row = shelf.began()
    actions.mark(stocktake=row, by=shelf.by, codes="A-007")
    actions.finish(stocktake=row, by=shelf.by)
    late = actions.mark(stocktake=row, by=shelf.by, codes="A-012")
    assert late.late
    assert dict(row.marks.values_list("thing__code", "late")) == {"A-007": False, "A-012": True}


def test_nothing_is_taken_off_once_the_list_was_seen(shelf):
    row = shelf.began()
    actions.mark(stocktake=row, by=shelf.by, codes="A-007 A-012")
    one, two = row.marks.all()
    actions.unmark(stocktake=row, mark=one.pk)
    actions.finish(stocktake=row, by=shelf.by)
    with pytest.raises(CountShut, match="has been seen"):
        actions.unmark(stocktake=row, mark=two.pk)
    assert list(row.marks.all()) == [two]


def test_a_mark_of_another_count_is_not_taken_off(shelf):
    row, other = shelf.began(), shelf.began(shelf.next_bay)
    actions.mark(stocktake=other, by=shelf.by, codes="E-001")
    actions.unmark(stocktake=row, mark=other.marks.get().pk)
    assert other.marks.count() == 1


def test_overlapping_places_are_counted_one_after_the_other(shelf):
    shelf.began()
    for place in (shelf.bay, shelf.case, shelf.bay.inside):
        with pytest.raises(CountShut, match="COUNT-001 already counts Bay 1"):
            actions.start(**shelf.given(), place=place)
    assert actions.start(**shelf.given(), place=shelf.next_bay).code == "COUNT-002"


def test_a_count_given_up_leaves_its_reason_in_the_book(shelf):
    row = shelf.began()
    actions.give_up(stocktake=row, by=shelf.by, because="the light went out")
    (entry,) = shelf.entries("noted")
    assert entry.subject.code == row.code
    assert "the light went out" in entry.words
    assert actions.start(**shelf.given(), place=shelf.bay).code == "COUNT-002"
    with pytest.raises(CountShut, match="given up"):
        actions.mark(stocktake=row, by=shelf.by, codes="A-007")


def test_something_without_a_label_is_counted_in_words_with_a_photo_once(shelf):
    row, photo = shelf.began(), saved(drawn(), "PNG")
    said = {"words": "Grey cabinet, one port", "photo": photo, "once": "tap"}
    first = actions.mark_unlabelled(stocktake=row, by=shelf.by, **said)
    assert actions.mark_unlabelled(stocktake=row, by=shelf.by, **said) == first
    assert first.photo.subject.code == row.code


def test_the_row_of_a_count_is_let_go_before_a_photo_opens_the_book(shelf, monkeypatch):
    """Who closes a count holds the book first and its row second: the other way round the two
    would wait for each other, as PostgreSQL tells by ending one of them."""
    row, opened = shelf.began(), []
    before, keep = len(connection.savepoint_ids), actions.add_photo

    def noted(**given):
        opened.append(len(connection.savepoint_ids) - before)
        return keep(**given)

    monkeypatch.setattr(actions, "add_photo", noted)
    photo = saved(drawn(), "PNG")
    actions.mark_unlabelled(stocktake=row, by=shelf.by, words="Grey cabinet", photo=photo)
    actions.picture(stocktake=row, by=shelf.by, photo=photo)
    assert opened == [0, 0]


def test_the_list_takes_the_same_queries_for_one_case_and_many(shelf, django_assert_num_queries):
    for number in range(20, 28):
        custody.add_place(
            **shelf.given(), name=f"Case {number}", kind="case", code=f"CASE-{number}",
            inside=shelf.bay,
        )  # fmt: skip
    with django_assert_num_queries(2):
        assert queries.expected_in(shelf.bay)["CASE-27"] == shelf.bay.code


def test_the_list_stays_shut_for_whoever_counts_and_nobody_else(shelf):
    row = shelf.began()
    assert queries.shut_for(shelf.case, shelf.by) == row
    assert queries.shut_for(shelf.bay, shelf.other) is None
    actions.mark(stocktake=row, by=shelf.other, codes="A-007")
    assert queries.shut_for(shelf.bay, shelf.other) == row
    actions.finish(stocktake=row, by=shelf.by)
    assert queries.shut_for(shelf.bay, shelf.by) is None


def test_a_piece_of_another_collection_is_no_code(shelf, stranger):
    add_piece(collection=stranger.collection, by=stranger, code="Z-001", kind="effect")
    marked = actions.mark(stocktake=shelf.began(), by=shelf.by, codes="Z-001")
    assert marked.unknown == ("Z-001",)

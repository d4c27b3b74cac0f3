"""What is changed by hand in the database is found, and the entry is named."""

import pytest
from django.core.management import CommandError, call_command
from django.db import connection

from collection.core.events.moved import Moved
from collection.core.events.recovered import Recovered
from collection.core.events.stolen import Stolen
from collection.ledger import derived, guard, proof
from collection.ledger.actions import note, open_book
from collection.ledger.models import Event, Mention, State
from collection.ledger.telling import Telling

pytestmark = pytest.mark.django_db


@pytest.fixture
def book_of_six(collection, technician):
    with open_book(collection, technician) as book:
        book.new_subject("piece", "A-007")
        book.new_subject("place", "P-001")
        for _ in range(5):
            book.append(Moved(to="P-001"), "A-007")
    note(collection=collection, by=technician, subject="A-007", telling=Telling(words="hums"))
    guard.lift(connection)
    return collection


def by_hand(statement: str) -> None:
    with connection.cursor() as cursor:
        cursor.execute(statement)


@pytest.mark.parametrize(
    ("statement", "entry"),
    [
        ("UPDATE collection_event SET kind = 'sighted' WHERE sequence = 3", 3),
        ("UPDATE collection_event SET happened = '1999' WHERE sequence = 1", 1),
        ("UPDATE collection_event SET recorded_by = 'somebody' WHERE sequence = 0", 0),
        ("UPDATE collection_event SET words = 'purrs' WHERE sequence = 5", 5),
        ("UPDATE collection_event SET words = '' WHERE sequence = 5", 5),
        ("UPDATE collection_event SET leaf = 'zz' WHERE sequence = 2", 2),
        ("UPDATE collection_event SET salt = upper(salt) || '' WHERE sequence = 4", 4),
    ],
)
def test_one_changed_field_names_the_entry(book_of_six, statement, entry):
    by_hand(statement)
    verdict = proof.verify(book_of_six)
    assert [misfit.entry for misfit in verdict.misfits][:1] == [entry]


def test_one_byte_of_the_facts_names_the_entry(book_of_six):
    by_hand(
        "UPDATE collection_event SET facts = "
        + (
            "replace(facts, 'P-001', 'P-002')"
            if connection.vendor == "sqlite"
            else "replace(facts::text, 'P-001', 'P-002')::jsonb"
        )
        + " WHERE sequence = 2"
    )
    assert proof.verify(book_of_six).misfits[0].entry == 2


def test_facts_that_are_no_longer_json_name_the_entry(book_of_six):
    if connection.vendor != "sqlite":
        pytest.skip("PostgreSQL does not store broken JSON")
    by_hand("PRAGMA ignore_check_constraints = ON")
    by_hand("UPDATE collection_event SET facts = '{' WHERE sequence = 4")
    assert proof.verify(book_of_six).misfits[0].entry == 4


def test_a_dropped_entry_is_missed(book_of_six):
    Mention.objects.filter(entry__sequence=3, entry__collection=book_of_six).delete()
    by_hand("DELETE FROM collection_event WHERE sequence = 3")
    misfit = proof.verify(book_of_six).misfits[0]
    assert "entry 3 is missing" in misfit.reason


def test_entries_cut_off_at_the_end_are_missed(book_of_six):
    Mention.objects.filter(entry__sequence__gte=4, entry__collection=book_of_six).delete()
    by_hand("DELETE FROM collection_event WHERE sequence >= 4")
    assert "6 entries were written" in proof.verify(book_of_six).misfits[0].reason


def test_a_state_changed_by_hand_is_found_and_rebuild_mends_it(book_of_six):
    State.objects.of(book_of_six).filter(subject__code="A-007").update(detail={"standing": "sold"})
    assert "A-007" in proof.verify(book_of_six).misfits[0].reason
    derived.rebuild(book_of_six)
    assert proof.verify(book_of_six).fits


@pytest.mark.parametrize(
    "statement",
    [
        "UPDATE collection_event SET earliest = '1999-01-01' WHERE sequence = 3",
        "UPDATE collection_event SET latest = '1999-01-01' WHERE sequence = 3",
        "UPDATE collection_event SET placed_us = placed_us + 1 WHERE sequence = 3",
        "UPDATE collection_mention SET placed_us = 7 WHERE entry_id ="
        " (SELECT id FROM collection_event WHERE sequence = 3)",
        "UPDATE collection_mention SET role = 'x' WHERE role = 'to' AND entry_id ="
        " (SELECT id FROM collection_event WHERE sequence = 3)",
        "DELETE FROM collection_mention WHERE entry_id ="
        " (SELECT id FROM collection_event WHERE sequence = 3)",
    ],
)
def test_a_derived_value_changed_by_hand_names_the_entry_and_is_made_again(book_of_six, statement):
    by_hand(statement)
    assert [misfit.entry for misfit in proof.verify(book_of_six).misfits] == [3]
    derived.rebuild(book_of_six)
    assert proof.verify(book_of_six).fits


@pytest.mark.parametrize(
    "column", ["standing = 'sold'", "place_id = NULL", "last_placed_us = 7", "open_faults = 9"]
)
def test_a_column_that_lists_read_is_compared_too(book_of_six, column):
    by_hand(
        f"UPDATE collection_state SET {column} WHERE subject_id ="
        " (SELECT id FROM collection_subject WHERE code = 'A-007')"
    )
    assert "A-007" in proof.verify(book_of_six).misfits[0].reason
    derived.rebuild(book_of_six)
    assert proof.verify(book_of_six).fits


def test_an_entry_past_the_end_of_the_book_is_found(book_of_six):
    by_hand("UPDATE collection_head SET size = 5")
    assert not proof.verify(book_of_six).fits


def test_an_answer_keeps_its_place_where_only_the_answer_names_the_thing(collection, technician):
    with open_book(collection, technician) as book:
        for kind, code in (("piece", "A-007"), ("place", "P-001"), ("incident", "I-001")):
            book.new_subject(kind, code)
        gone = book.append(Stolen(incident="I-001"), "A-007", Telling(happened="2024-05-01"))
        book.append(
            Recovered(incident="I-001", at="P-001"),
            "A-007",
            Telling(happened="2024"),
            answers=gone.sequence,
        )
    derived.rebuild(collection)
    first, second = Event.objects.of(collection).order_by("sequence")
    assert second.placed_us == first.placed_us
    assert proof.verify(collection).fits


def test_rebuild_makes_the_same_rows_as_writing_did(book_of_six):
    fields = ("subject_id", "detail", "place_id", "last_placed_us", "last_entry")
    before = list(State.objects.of(book_of_six).order_by("subject").values_list(*fields))
    mentions = Mention.objects.filter(subject__collection=book_of_six)
    said = sorted(mentions.values_list("subject_id", "entry_id", "role", "placed_us"))
    derived.rebuild(book_of_six)
    assert list(State.objects.of(book_of_six).order_by("subject").values_list(*fields)) == before
    assert sorted(mentions.values_list("subject_id", "entry_id", "role", "placed_us")) == said


def test_the_command_names_the_entry_and_fails(book_of_six, capsys):
    by_hand("UPDATE collection_event SET source = 'told' WHERE sequence = 2")
    with pytest.raises(CommandError):
        call_command("verify")
    assert "entry 2" in capsys.readouterr().out

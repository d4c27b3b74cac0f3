"""Words are taken out; leaf, root, seals and states stay; nothing else can be."""

from itertools import pairwise

import pytest
from django.core.management import call_command
from django.db import DatabaseError, connection, transaction

from collection.core.events.moved import Moved
from collection.core.events.redacted import Redacted
from collection.core.seal import Seal
from collection.ledger import derived, guard, proof
from collection.ledger.actions import note, open_book
from collection.ledger.errors import LedgerError
from collection.ledger.models import Event, State
from collection.ledger.queries import book_page, life_line
from collection.ledger.redaction.actions import take_out_words
from collection.ledger.sealing.checking import check
from collection.ledger.telling import Telling

pytestmark = pytest.mark.django_db
SAID = Telling(happened="2024-05-01", words="sold by Ola Nes", source_note="Ola Nes, by phone")


@pytest.fixture
def told(collection, technician):
    """An entry with personal words, between others."""
    with open_book(collection, technician) as book:
        book.new_subject("piece", "A-007")
        book.new_subject("place", "P-001")
        book.append(Moved(to="P-001"), "A-007")
    event = note(collection=collection, by=technician, subject="A-007", telling=SAID)
    note(collection=collection, by=technician, subject="A-007", telling=Telling(words="hums"))
    return event


def take_out(event, keeper, **how):
    return take_out_words(event=event, by=keeper, because="he asked us to", **how)


def test_the_words_are_gone_and_the_leaf_root_seals_and_states_stay(collection, keeper, told):
    seal = Seal(*proof.root_of(collection))
    states = list(State.objects.of(collection).values_list("subject", "detail"))
    leaf = told.leaf
    take_out(told, keeper)
    told.refresh_from_db()
    assert (told.words, told.words_salt, told.source_note, told.leaf) == ("", "", "", leaf)
    assert list(State.objects.of(collection).values_list("subject", "detail")) == states
    assert proof.verify(collection).fits
    found = check(collection, seal)
    assert found.fits
    assert found.taken_out == 1


def test_a_state_folded_anew_is_the_same(collection, keeper, told):
    take_out(told, keeper)
    before = list(State.objects.of(collection).values_list("subject", "detail", "last_entry"))
    derived.rebuild(collection)
    assert list(State.objects.of(collection).values_list("subject", "detail", "last_entry")) == (
        before
    )


def test_the_life_line_and_the_book_say_when_and_why(collection, keeper, told):
    take_out(told, keeper)
    for lines in (life_line(told.subject), book_page(collection)):
        (line,) = [line for line in lines if line.event.pk == told.pk]
        assert line.gone_words.startswith("Words taken out on ")
        assert line.gone_words.endswith("because: he asked us to.")
        assert not [line for line in lines if "Ola" in line.words + line.event.source_note]


def test_nothing_of_the_words_is_left_in_the_table(collection, keeper, told):
    take_out(told, keeper)
    with connection.cursor() as cursor:
        cursor.execute("SELECT * FROM collection_event")
        assert "Ola" not in str(cursor.fetchall())


def test_an_entry_without_words_has_nothing_to_take_out(collection, keeper, told):
    take_out(told, keeper)
    with pytest.raises(LedgerError, match="no words"):
        take_out(told, keeper)
    assert Event.objects.of(collection).filter(kind="redacted").count() == 1


def test_pressed_twice_it_is_done_once(collection, keeper, told):
    tap = Telling(once="a-tap")
    first, second = (take_out(told, keeper, telling=tap) for _ in range(2))
    assert first.pk == second.pk


@pytest.mark.parametrize(
    ("statement", "reason"),
    [
        ("UPDATE collection_event SET words = '' , source_note = '' WHERE id = %s", "no entry"),
        ("UPDATE collection_event SET source_note = '' WHERE id = %s", "not the ones"),
    ],
)
def test_words_taken_out_by_hand_are_found(collection, told, statement, reason):
    with connection.cursor() as cursor:
        cursor.execute(statement, [told.pk])
    misfit = proof.verify(collection).misfits[0]
    assert (misfit.entry, reason in misfit.reason) == (told.sequence, True)


def test_a_salt_left_behind_is_found_since_words_could_be_guessed(collection, keeper, told):
    take_out(told, keeper)
    Event.objects.filter(pk=told.pk).update(words_salt="ab" * 16)
    assert "guessed" in proof.verify(collection).misfits[0].reason


# -- the guard of the table ------------------------------------------------------------------
FORBIDDEN = [
    "UPDATE collection_event SET words = '' WHERE id = {told}",
    "UPDATE collection_event SET words = 'other', words_salt = '', source_note = ''"
    " WHERE id = {told}",
    "UPDATE collection_event SET words = '', words_salt = '', source_note = '' WHERE id = {other}",
    "UPDATE collection_event SET words = '', words_salt = '', source_note = '', words_hash = ''"
    " WHERE id = {told}",
    "UPDATE collection_event SET leaf = 'ab' WHERE id = {told}",
    "UPDATE collection_event SET id = id + 1000 WHERE id = {told}",
    "DELETE FROM collection_event WHERE id = {told}",
]
ONLY_HERE = {
    "sqlite": [
        "INSERT OR REPLACE INTO collection_event SELECT * FROM collection_event WHERE id = {told}",
        "UPDATE OR REPLACE collection_event SET sequence = 0 WHERE id = {told}",
    ],
    "postgresql": ["TRUNCATE collection_event CASCADE"],
}


@pytest.fixture
def guarded(collection, keeper, told):
    """The guard in place, with one entry that says why the words of `told` may go."""
    with open_book(collection, keeper) as book:
        book.append(Redacted(what="words", because="asked", entry=told.sequence), "A-007")
    connection.check_constraints()  # PostgreSQL empties no table while keys wait to be checked
    guard.hang(connection)
    return {"told": told.pk, "other": Event.objects.of(collection).get(sequence=2).pk}


def test_the_guard_lets_words_go_where_an_entry_says_why_and_nothing_else(guarded):
    assert guard.hung(connection)
    for statement in [*FORBIDDEN, *ONLY_HERE[connection.vendor]]:
        with pytest.raises(DatabaseError, match="entry"), transaction.atomic():
            connection.cursor().execute(statement.format(**guarded))
    gone = {"words": "", "words_salt": "", "source_note": ""}
    assert Event.objects.filter(pk=guarded["told"]).update(**gone) == 1
    with pytest.raises(DatabaseError, match="entry"), transaction.atomic():
        Event.objects.filter(pk=guarded["told"]).update(words="sold by Ola Nes")


def test_the_action_and_derived_dates_pass_the_guard(collection, keeper, told):
    guard.hang(connection)
    take_out(told, keeper)
    Event.objects.filter(pk=told.pk).update(placed_us=7)
    derived.rebuild(collection)
    assert proof.verify(collection).fits


# -- the page --------------------------------------------------------------------------------
def test_only_a_keeper_takes_words_out(keeper_client, technician_client, collection, told):
    path = f"/{collection.slug}/book/{told.sequence}/take-out/"
    assert technician_client.get(path).status_code == 403
    unsure = keeper_client.post(path, {"because": "asked"})
    assert unsure.status_code == 422
    assert b"sold by Ola Nes" in unsure.content
    answer = keeper_client.post(path, {"because": "asked", "sure": "on"}, follow=True)
    assert answer.status_code == 200
    assert b"Words taken out on" in answer.content
    assert b"Ola" not in answer.content


def test_the_command_counts_what_was_taken_out(collection, keeper, told, capsys):
    seal = Seal(*proof.root_of(collection))
    take_out(told, keeper)
    call_command("verify", seal=seal.pair)
    assert "words of 1 of them" in capsys.readouterr().out


def test_the_numbers_stay_without_a_gap(collection, keeper, told):
    take_out(told, keeper)
    numbers = list(Event.objects.of(collection).order_by("sequence").values_list("sequence"))
    assert all(later[0] - earlier[0] == 1 for earlier, later in pairwise(numbers))

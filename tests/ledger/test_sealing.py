"""A seal kept elsewhere finds what was changed, dropped, swapped or inserted since."""

import json

import pytest
from django.core.management import CommandError, call_command
from django.db import connection

from collection.core import merkle
from collection.core.events.moved import Moved
from collection.core.seal import Seal
from collection.ledger import guard, proof
from collection.ledger.actions import note, open_book
from collection.ledger.book import BRANCH
from collection.ledger.errors import LedgerError
from collection.ledger.leaf import leaf_of
from collection.ledger.models import Branch, Event, Head, Mention
from collection.ledger.sealing import actions, queries
from collection.ledger.sealing.checking import check
from collection.ledger.telling import Telling

pytestmark = pytest.mark.django_db


def write(collection, by, count):
    with open_book(collection, by) as book:
        for number in range(count):
            book.append(Moved(to="P-001"), "A-007", Telling(words=f"note {number}"))


@pytest.fixture
def sealed(collection, technician):
    """A book sealed at seven entries that has grown since, and the seal as it was kept."""
    with open_book(collection, technician) as book:
        book.new_subject("piece", "A-007")
        for code in ("P-001", "P-002"):
            book.new_subject("place", code)
    write(collection, technician, 7)
    actions.seal(collection=collection, by=technician, went_to="the lawyer")
    write(collection, technician, 4)
    guard.lift(connection)
    return collection, queries.seals(collection)[0].seal


def test_a_book_that_only_grew_is_still_what_was_sealed(sealed):
    collection, seal = sealed
    found = check(collection, seal)
    assert found.fits
    assert found.answer.startswith("Everything in the book on ")
    assert found.answer.endswith("is still there, unchanged, in that order.")
    assert "5 written since" in found.statements[0].said
    proven = [bytes.fromhex(node) for node in found.proof]
    roots = bytes.fromhex(seal.root), bytes.fromhex(found.root)
    assert merkle.verify_consistency(seal.size, found.size, *roots, proven)


def test_a_seal_covers_every_entry_before_its_own(sealed):
    collection, seal = sealed
    kept = queries.seals(collection)[0]
    assert (seal.size, kept.first.sequence, kept.went_to) == (7, 7, "the lawyer")
    leaves = Event.objects.of(collection).order_by("sequence").values_list("leaf", flat=True)
    assert merkle.root([bytes.fromhex(leaf) for leaf in leaves[:7]]).hex() == seal.root


def test_an_empty_book_cannot_be_sealed(collection, keeper):
    with pytest.raises(LedgerError, match="nothing to seal"):
        actions.seal(collection=collection, by=keeper)


def test_a_seal_handed_to_somebody_else_keeps_size_root_and_time(sealed, technician):
    collection, _ = sealed
    with open_book(collection, technician) as book:
        book.new_subject("party", "N-001")
    before = queries.seals(collection)[0]
    actions.hand_over(kept=before, by=technician, held_by=["N-001"])
    after = queries.seals(collection)[0]
    assert (after.seal, after.sealed_at) == (before.seal, before.sealed_at)
    assert (after.held_by, after.went_to) == (("N-001",), "the lawyer")


# -- what somebody with the whole database in hand may do --------------------------------------
def contents(collection, number):
    return Event.objects.of(collection).filter(sequence=number)


def change(collection):
    contents(collection, 3).update(happened="1999")


def drop(collection):
    Mention.objects.filter(entry__collection=collection, entry__sequence=3).delete()
    contents(collection, 3).delete()
    for event in Event.objects.of(collection).filter(sequence__gt=3).order_by("sequence"):
        Event.objects.filter(pk=event.pk).update(sequence=event.sequence - 1)
    Head.objects.of(collection).update(size=Head.objects.get(collection=collection).size - 1)


def swap(collection):
    for number, other in ((3, 1000), (4, 3), (1000, 4)):
        contents(collection, number).update(sequence=other)


def insert(collection):
    for event in Event.objects.of(collection).filter(sequence__gt=2).order_by("-sequence"):
        Event.objects.filter(pk=event.pk).update(sequence=event.sequence + 1)
    extra = contents(collection, 2).get()
    extra.pk, extra.sequence, extra.once = None, 3, None
    extra.save(force_insert=True)
    Head.objects.of(collection).update(size=Head.objects.get(collection=collection).size + 1)


def hash_anew(collection):
    """Make everything that was changed fit itself again, as only a whole rewrite can."""
    leaves = []
    for event in Event.objects.of(collection).select_related("subject").order_by("sequence"):
        leaf = leaf_of(event, collection, event.subject.code)
        Event.objects.filter(pk=event.pk).update(leaf=leaf.hex())
        leaves.append(leaf)
    frontier: tuple[bytes, ...] = ()
    for leaf in leaves:
        frontier = merkle.append(frontier, leaf)
    kept = [node.hex() for node in frontier]
    Head.objects.of(collection).update(size=len(leaves), frontier=kept)


TAMPERING = pytest.mark.parametrize("tamper", [change, drop, swap, insert])


@TAMPERING
def test_the_book_itself_finds_what_was_done_to_it(sealed, tamper):
    collection, _ = sealed
    tamper(collection)
    assert not proof.verify(collection).fits


@TAMPERING
def test_a_seal_finds_what_was_done_even_when_all_was_hashed_anew(sealed, tamper):
    collection, seal = sealed
    tamper(collection)
    hash_anew(collection)
    found = check(collection, seal)
    assert not found.fits
    assert "do not lead to the sealed root" in found.answer


def test_contents_changed_beside_a_leaf_left_alone_are_named(sealed):
    collection, seal = sealed
    change(collection)
    found = check(collection, seal)
    assert [one.holds for one in found.statements] == [True, False]
    assert found.answer.startswith("Entry 3 is not what was sealed")


def test_entries_cut_off_are_counted(sealed):
    collection, seal = sealed
    later = Event.objects.of(collection).filter(sequence__gte=5)
    Mention.objects.filter(entry__in=later).delete()
    later.delete()
    hash_anew(collection)
    assert "2 of them are missing" in check(collection, seal).answer


def test_a_change_after_the_seal_is_not_the_seal_s_to_find_but_the_book_s(sealed):
    collection, seal = sealed
    contents(collection, 9).update(happened="1999")
    assert check(collection, seal).fits
    assert not proof.verify(collection).fits


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"root": "ab" * 32}, "do not lead"),
        ({"size": 6}, "do not lead"),
        ({"size": 500}, "488 of them are missing"),
        ({"book": "ab" * 16}, "another book"),
    ],
)
def test_another_seal_does_not_fit_and_says_which_statement_fails(sealed, changes, said):
    collection, seal = sealed
    other = Seal(**({"size": seal.size, "root": seal.root, "book": seal.book} | changes))
    assert said in check(collection, other).answer


def test_a_long_book_is_checked_through_its_branches(sealed, technician):
    collection, early = sealed
    write(collection, technician, BRANCH)
    late = Seal(*proof.root_of(collection))
    write(collection, technician, 3)
    assert check(collection, early).fits
    assert check(collection, late).fits
    Branch.objects.of(collection).update(root="ab" * 32)
    assert not check(collection, early).fits


# -- from the console --------------------------------------------------------------------------
def test_the_command_checks_a_seal_and_says_so(sealed, capsys):
    collection, seal = sealed
    call_command("verify", seal=seal.pair, collection=collection.slug)
    assert "unchanged, in that order" in capsys.readouterr().out
    change(collection)
    with pytest.raises(CommandError, match="Entry 3"):
        call_command("verify", seal=seal.pair)


def test_the_command_takes_a_seal_file_and_finds_its_book(sealed, other_collection, tmp_path):
    _, seal = sealed
    path = tmp_path / "seal.json"
    path.write_text(json.dumps(seal.to_json()))
    call_command("verify", seal=str(path))
    with pytest.raises(CommandError, match="which book"):
        call_command("verify", seal=seal.pair)
    with pytest.raises(CommandError, match="cannot be read"):
        call_command("verify", seal=str(tmp_path / "none"))
    with pytest.raises(CommandError, match="64 hex digits"):
        call_command("verify", seal="7:abc")


def test_words_noted_later_change_no_seal(sealed, technician):
    collection, seal = sealed
    note(collection=collection, by=technician, subject="A-007", telling=Telling(words="hums"))
    assert check(collection, seal).fits

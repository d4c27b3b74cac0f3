"""The book: appended, corrected, folded in order of happening, written once."""

from datetime import timedelta

import pytest
from django.db import DatabaseError, connection, transaction
from django.utils import timezone

from collection.core import merkle
from collection.core.chronology import InTheFuture
from collection.core.events.moved import Moved
from collection.core.events.sighted import Sighted
from collection.core.events.tag_lifted import TagLifted
from collection.ledger import actions, guard, proof, queries
from collection.ledger.actions import open_book
from collection.ledger.errors import CodeTaken, LedgerError, NotTheNewest, PlanRefused
from collection.ledger.models import Event, Head, Mention, State
from collection.ledger.telling import Telling

pytestmark = pytest.mark.django_db


@pytest.fixture
def piece(collection, technician):
    with open_book(collection, technician) as book:
        book.new_subject("piece", "A-007")
        for code in ("P-001", "P-002", "P-003"):
            book.new_subject("place", code)
    return "A-007"


def moved(collection, member, to, when="", **how):
    with open_book(collection, member) as book:
        return book.append(Moved(to=to), "A-007", Telling(happened=when), **how)


def place_of(collection):
    return State.objects.of(collection).get(subject__code="A-007").place.code


def test_entries_are_numbered_from_nought_without_a_gap(collection, technician, piece):
    for to in ("P-001", "P-002", "P-003"):
        moved(collection, technician, to)
    numbers = Event.objects.of(collection).order_by("sequence").values_list("sequence", flat=True)
    assert list(numbers) == [0, 1, 2]
    head = Head.objects.of(collection).get()
    leaves = Event.objects.of(collection).order_by("sequence").values_list("leaf", flat=True)
    assert head.size == 3
    assert proof.root_of(collection)[1] == merkle.root(map(bytes.fromhex, leaves)).hex()


def test_a_backdated_move_does_not_jump_over_a_later_one(collection, technician, piece):
    moved(collection, technician, "P-001", "2025-03-01")
    moved(collection, technician, "P-002", "2024-05")
    assert place_of(collection) == "P-001"


def test_a_corrected_morning_move_stays_in_the_morning(collection, technician, piece):
    today = timezone.now().astimezone(collection.zone_info).date().isoformat()
    morning = moved(collection, technician, "P-001", today)
    moved(collection, technician, "P-002", today)
    moved(collection, technician, "P-003", today, corrects=morning.sequence)
    assert place_of(collection) == "P-002"
    struck = [line for line in queries.life_line(morning.subject) if line.struck]
    assert [line.event.facts["to"] for line in struck] == ["P-003"]
    assert [e.facts["to"] for e in struck[0].struck] == ["P-001"]


def test_an_entry_is_corrected_only_once_and_then_its_correction(collection, technician, piece):
    first = moved(collection, technician, "P-001", "2025-01-01")
    second = moved(collection, technician, "P-002", "2025-01-01", corrects=first.sequence)
    with pytest.raises(NotTheNewest, match="already"):
        moved(collection, technician, "P-003", "2025-01-01", corrects=first.sequence)
    moved(collection, technician, "P-003", "2025-01-01", corrects=second.sequence)
    assert place_of(collection) == "P-003"


def test_a_withdrawn_entry_has_no_effect_and_stays_readable(collection, technician, piece):
    moved(collection, technician, "P-001", "2025-01-01")
    wrong = moved(collection, technician, "P-002", "2025-02-01")
    actions.withdraw(collection=collection, by=technician, event=wrong, because="wrong piece")
    assert place_of(collection) == "P-001"
    assert Event.objects.of(collection).get(sequence=wrong.sequence).facts["to"] == "P-002"


def test_a_correction_that_names_another_place_is_undone_in_the_first_ones_history(
    collection, technician, piece
):
    first = moved(collection, technician, "P-001", "2025-01-01")
    moved(collection, technician, "P-002", "2025-01-01", corrects=first.sequence)
    places = Mention.objects.filter(entry__collection=collection, role="to")
    assert set(places.values_list("subject__code", flat=True)) == {"P-001", "P-002"}
    assert proof.verify(collection).fits


def test_a_code_means_one_thing_for_ever(collection, technician, piece):
    with pytest.raises(CodeTaken, match="A-007"), open_book(collection, technician) as book:
        book.new_subject("place", "A-007")


def test_another_collections_code_is_unknown_here(other_collection, stranger, piece):
    with (
        pytest.raises(LedgerError, match="No such code"),
        open_book(other_collection, stranger) as b,
    ):
        b.append(Sighted(at=""), "A-007")


def test_what_has_not_come_yet_is_refused(collection, technician, piece):
    tomorrow = (timezone.now() + timedelta(days=2)).date().isoformat()
    with pytest.raises(InTheFuture):
        moved(collection, technician, "P-001", tomorrow)
    assert not Event.objects.of(collection).exists()


def test_a_plan_that_does_not_fit_is_refused_with_its_reasons(collection, technician, piece):
    with pytest.raises(PlanRefused) as refused, open_book(collection, technician) as book:
        book.append(TagLifted(check="mains test", by_whom="", result="fine"), "A-007")
    assert refused.value.reasons
    assert not Event.objects.of(collection).exists()


def test_sent_twice_it_is_written_once(collection, technician, piece):
    sent = Telling(once="a-tap")
    for _ in range(2):
        with open_book(collection, technician) as book:
            event = book.append(Moved(to="P-001"), "A-007", sent)
    assert Event.objects.of(collection).count() == 1
    assert event.sequence == 0


def test_an_action_within_another_writes_into_the_same_act(collection, technician, piece):
    with open_book(collection, technician) as outer:
        outer.append(Moved(to="P-001"), "A-007")
        actions.note(
            collection=collection, by=technician, subject="A-007", telling=Telling(words="hums")
        )
    acts = set(Event.objects.of(collection).values_list("act", flat=True))
    assert len(acts) == 1
    assert proof.verify(collection).fits


def test_nothing_is_kept_of_an_act_that_fails_halfway(collection, technician, piece):
    def half_an_act():
        with open_book(collection, technician) as book:
            book.append(Moved(to="P-001"), "A-007")
            book.append(Moved(to="P-999"), "A-007")

    with pytest.raises(LedgerError, match="P-999"):
        half_an_act()
    assert not Event.objects.of(collection).exists()
    assert moved(collection, technician, "P-002").sequence == 0


def test_the_database_itself_refuses_to_change_or_delete_an_entry(collection, technician, piece):
    event = moved(collection, technician, "P-001")
    guard.hang(connection)
    assert guard.hung(connection)
    for attempt in (
        lambda: Event.objects.filter(pk=event.pk).update(facts={"to": "P-002"}),
        lambda: connection.cursor().execute("DELETE FROM collection_event"),
        lambda: Event.objects.filter(pk=event.pk).update(words="something else"),
        lambda: Event.objects.filter(pk=event.pk).update(words="", words_salt="", source_note=""),
    ):
        with pytest.raises(DatabaseError, match=r"never|not changed"), transaction.atomic():
            attempt()


def test_a_long_book_keeps_its_branches(collection, technician, piece):
    with open_book(collection, technician) as book:
        for number in range(2100):
            book.append(Moved(to=f"P-00{number % 3 + 1}"), "A-007")
    verdict = proof.verify(collection)
    assert verdict.fits
    assert verdict.size == 2100

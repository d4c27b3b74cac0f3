"""The demo's seals check, the last is at the broker's, and the seller's words are gone."""

import pytest

from collection.desk.monthly.queries import letters_out, readers
from collection.ledger import proof
from collection.ledger.models import Event
from collection.ledger.sealing.checking import check
from collection.ledger.sealing.queries import seals
from fixtures.demo.sealed import BROKER

pytestmark = pytest.mark.django_db


def test_three_monthly_seals_all_fit_the_book_of_today(demo):
    found = seals(demo.collection)
    assert [kept.first.earliest.month for kept in found] == [11, 10, 9]
    for kept in found:
        assert check(demo.collection, kept.seal).fits
    assert check(demo.collection, found[-1].seal).answer == (
        "Everything in the book on 1 September 2026 is still there, unchanged, in that order."
    )


def test_the_last_seal_was_mailed_to_the_broker(demo):
    assert [reader.party.code for reader in readers(demo.collection)] == [BROKER]
    (letter,) = letters_out(demo.collection)  # Ada's report of a show is another letter
    assert letter.sent_at is not None
    assert BROKER in seals(demo.collection)[0].held_by
    assert {one.name for one in letter.enclosures.all()} >= {"seal-003.json", "schedule.csv"}


def test_the_seller_s_words_are_gone_and_the_book_fits(demo):
    redacted = Event.objects.of(demo.collection).filter(kind="redacted").get()
    gone = Event.objects.of(demo.collection).get(sequence=redacted.facts["entry"])
    assert (gone.words, gone.words_salt, gone.source_note) == ("", "", "")
    assert gone.words_hash
    assert proof.verify(demo.collection).fits

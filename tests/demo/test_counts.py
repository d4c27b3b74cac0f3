"""The count of the warehouse as the story tells it, and the one that still goes on."""

import pytest

from collection.custody.stocktake import queries
from collection.custody.stocktake.models import Stocktake
from collection.ledger.models import Event

pytestmark = pytest.mark.django_db


def test_the_last_count_found_one_cabinet_too_many_and_nothing_missing(demo):
    (event,) = Event.objects.of(demo.collection).filter(kind="stocktaken")
    facts = event.facts
    assert (facts["place"], facts["unlabelled"]) == ("P-001", 1)
    assert (facts["not_seen"], facts["too_many"], facts["other_place"]) == (0, 0, 0)
    assert facts["as_expected"] == facts["expected"] == 23
    assert facts["alone"]
    assert facts["counted_by"] == ["jonah"]
    asked = Event.objects.of(demo.collection).get(act=event.act, kind="asked")
    assert "Pellow 1" in asked.facts["question"]


def test_its_second_signature_is_due_and_not_overdue(demo):
    today = demo.now.date()
    (one,) = queries.waiting(demo.collection, today=today)
    assert (one.stocktake.code, one.overdue_days) == ("COUNT-001", 0)
    assert one.stocktake.sign_by.isoformat() == "2026-12-20"


def test_jonah_still_counts_the_cage_blind(demo):
    row = Stocktake.objects.of(demo.collection).get(code="COUNT-002")
    assert row.blind
    assert [mark.thing.code for mark in row.marks.all()] == ["A-009"]

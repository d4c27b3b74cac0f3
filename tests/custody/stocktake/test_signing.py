"""The second signature: by somebody else, on what the hash drew."""

from datetime import timedelta

import pytest

from collection.core.stocktake import drawn
from collection.custody.stocktake import actions, closing, queries, signing
from collection.custody.stocktake.locking import CountShut
from collection.ledger.errors import PlanRefused
from collection.ledger.telling import Telling
from registry import clock
from tests.catalogue.photo_samples import drawn as drawn_photo
from tests.catalogue.photo_samples import saved


@pytest.fixture
def closed(shelf):
    row = shelf.began()
    actions.mark(stocktake=row, by=shelf.by, codes="A-007 A-012 G-003 G-004 CASE-07 E-001")
    shelf.later()
    row = actions.finish(stocktake=row, by=shelf.by)
    closing.close(stocktake=row, by=shelf.by)
    shelf.later()
    return queries.stocktakes(shelf.collection).get(pk=row.pk)


def there(row, *missing):
    return {code: code not in missing for code in signing.draw_of(row)}


def test_nobody_signs_their_own_count(shelf, closed):
    with pytest.raises(PlanRefused) as refused:
        signing.sign_recount(stocktake=closed, by=shelf.by, there=there(closed))
    assert "nobody signs their own count" in refused.value.reasons[0]
    assert shelf.entries("stocktake_signed") == []


def test_who_only_counted_along_cannot_sign_either(shelf):
    row = shelf.began()
    actions.mark(stocktake=row, by=shelf.other, codes="A-007")
    actions.mark(stocktake=row, by=shelf.by, codes="A-012")
    row = actions.finish(stocktake=row, by=shelf.by)
    closing.close(stocktake=row, by=shelf.by)
    row.refresh_from_db()
    with pytest.raises(PlanRefused):
        signing.sign_recount(stocktake=row, by=shelf.other, there=there(row))


def test_the_draw_is_five_of_what_was_seen_by_the_hash_in_the_book(shelf, closed):
    (entry,) = shelf.entries("stocktaken")
    seen = [e.subject.code for e in shelf.entries("sighted")]
    assert signing.draw_of(closed) == drawn(seen, entry.facts["list_hash"])
    assert len(signing.draw_of(closed)) == 5


def test_the_hash_is_of_the_list_and_the_count_as_they_are_kept(shelf, closed):
    from collection.core.stocktake import list_hash
    from collection.custody.stocktake.reading import as_closed
    from collection.custody.whereabouts import whereabouts

    found = as_closed(closed, whereabouts(shelf.by))
    assert list_hash(closing.content_of(closed, found)) == closed.list_hash
    mark = closed.marks.first()
    mark.late = True
    mark.save()
    again = as_closed(closed, whereabouts(shelf.by))
    assert list_hash(closing.content_of(closed, again)) != closed.list_hash


def test_a_recount_sees_what_is_there_and_misses_what_is_not(shelf, closed):
    gone = signing.draw_of(closed)[0]
    event = signing.sign_recount(
        stocktake=closed, by=shelf.other, there=there(closed, gone), telling=Telling(once="tap")
    )
    assert event.facts["missed"] == [gone]
    assert [e.subject.code for e in shelf.entries("not_found")] == [gone]
    assert shelf.state(closed.code).condition == "signed"
    again = signing.sign_recount(
        stocktake=closed, by=shelf.other, there=there(closed), telling=Telling(once="tap")
    )
    assert again.sequence == event.sequence


def test_each_of_the_drawn_must_be_answered(shelf, closed):
    with pytest.raises(CountShut, match="were drawn"):
        signing.sign_recount(stocktake=closed, by=shelf.other, there={"A-007": True})


def test_a_signature_is_given_once(shelf, closed):
    signing.sign_recount(stocktake=closed, by=shelf.other, there=there(closed))
    closed.refresh_from_db()
    with pytest.raises(CountShut, match="signed already"):
        signing.sign_recount(stocktake=closed, by=shelf.other, there=there(closed))


def test_photos_are_signed_where_there_are_some(shelf, closed):
    with pytest.raises(CountShut, match="no photo"):
        signing.sign_from_photos(stocktake=closed, by=shelf.other)


def test_a_count_with_a_photo_is_signed_from_it(shelf):
    row = shelf.began()
    actions.picture(stocktake=row, by=shelf.by, photo=saved(drawn_photo(), "PNG"), caption="Bay")
    row = actions.finish(stocktake=row, by=shelf.by)
    closing.close(stocktake=row, by=shelf.by)
    event = signing.sign_from_photos(stocktake=row, by=shelf.other)
    assert event.facts["how"] == "photos"


def test_it_is_overdue_after_thirty_days_and_not_before(shelf, closed):
    zone = shelf.collection.zone_info
    day = clock.today(zone)
    for days, late in ((0, 0), (30, 0), (31, 1), (45, 15)):
        (one,) = queries.waiting(shelf.collection, today=day + timedelta(days=days))
        assert one.overdue_days == late
    signing.sign_recount(stocktake=closed, by=shelf.other, there=there(closed))
    assert queries.waiting(shelf.collection, today=day) == []

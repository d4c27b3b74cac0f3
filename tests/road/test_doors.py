"""The count at the truck door: by members, by a link, by several at once; and the walk."""

import html
import re
from datetime import timedelta
from urllib.parse import urlsplit

import pytest
from django.test import Client

from collection.catalogue.actions import describe
from collection.custody import actions as custody
from collection.ledger import proof
from collection.ledger.errors import LedgerError
from collection.ledger.models import Event, State
from collection.road.doors import actions, queries
from collection.road.doors.expected import load_of
from collection.road.doors.models import DoorCount, DoorTap, WalkTick
from registry import clock
from registry.access import sharing
from registry.access.models import ShareLink
from tests.builders import a_member, client_of
from tests.road.builders import a_place, a_road

pytestmark = pytest.mark.django_db


@pytest.fixture
def road(keeper):
    """Show 14 with cases 1 to 4; A-003 rides in case 1, A-018 rides by itself."""
    made = a_road(keeper)
    cases = [a_place(keeper, f"case {n}", "case", code=f"CASE-0{n}") for n in range(1, 5)]
    made.tour.places.add(*cases)
    rides = {"usual_place": cases[0].subject}
    describe(piece=made.position.piece, by=keeper, changes=rides)
    return made


@pytest.fixture
def count(road):
    return actions.start(show=road.show, truck=road.truck, by=road.by, now=clock.now())


def codes(load):
    return [tile.code for tile in load.tiles]


def text_of(answer, status=200):
    assert answer.status_code == status, answer.status_code
    return html.unescape(answer.content.decode())


def at(road, path):
    return f"/{road.collection.slug}/road/shows/{road.show.code}/{path}"


def tap(count, *which, by, now=None):
    for code in which:
        actions.tap(count=count, code=code, by=by, now=now or clock.now())


def link(count, by, **how):
    return actions.share(count=count, by=by, label="dock hands", now=clock.now(), **how)


# -- what belongs in it ----------------------------------------------------------------------
def test_the_truck_takes_the_tours_cases_and_what_rides_in_none(road):
    load = load_of(road.show, road.truck)
    assert codes(load) == ["CASE-01", "CASE-02", "CASE-03", "CASE-04", "A-018"]


def test_what_stands_in_another_truck_is_not_expected_at_this_door(road):
    other = a_place(road.by, "truck B", "truck", code="TRUCK-B")
    road.tour.places.add(other)
    given = {"collection": road.collection, "by": road.by}
    for code in ("CASE-04", "A-018"):
        custody.move(**given, code=code, to="TRUCK-B")
    load = load_of(road.show, road.truck)
    assert codes(load) == ["CASE-01", "CASE-02", "CASE-03"]
    assert dict(load.elsewhere) == {"CASE-04 case 4": "in truck B", "A-018 Twelve": "in truck B"}


def test_a_stolen_piece_and_one_that_somebody_has_are_left_out_with_the_reason(road):
    given = {"collection": road.collection, "by": road.by}
    party = custody.add_party(**given, name="Bo Lindgren")
    custody.move(**given, code="A-018", to=road.venue.code, holder=party.code)
    assert dict(load_of(road.show, road.truck).elsewhere) == {"A-018 Twelve": "with Bo Lindgren"}
    custody.report_theft(**given, pieces=["A-018"])
    assert dict(load_of(road.show, road.truck).elsewhere) == {"A-018 Twelve": "stolen"}


def test_what_went_back_to_its_owner_is_said_in_words(road):
    State.objects.filter(subject__code="A-018").update(standing="given_back")
    assert dict(load_of(road.show, road.truck).elsewhere) == {
        "A-018 Twelve": "it went back to its owner"
    }


def test_a_piece_that_the_book_has_outside_its_case_is_named(road):
    assert load_of(road.show, road.truck).loose == (("A-003 Twelve", "case 1"),)
    custody.move(collection=road.collection, by=road.by, code="A-003", to="CASE-01")
    assert load_of(road.show, road.truck).loose == ()


def test_a_tile_of_a_piece_says_its_kind_and_no_design(road, count):
    names = {row["code"]: row["name"] for row in count.tiles}
    assert names["A-018"] == "amplifier"


# -- counting --------------------------------------------------------------------------------
def test_two_thumbs_on_one_tile_count_it_once(road, count):
    other = a_member(road.collection)
    tap(count, "CASE-01", by=road.by)
    tap(count, "CASE-01", by=other)
    assert DoorTap.objects.get().by == road.by.code
    assert queries.board(count).tally.counted == 1


def test_a_tap_undone_counts_no_more_and_stays_on_record(road, count):
    tap(count, "CASE-01", by=road.by)
    actions.undo(count=count, code="CASE-01", by=road.by, now=clock.now())
    assert queries.board(count).tally.counted == 0
    assert DoorTap.objects.get().undone_by == road.by.code
    tap(count, "CASE-01", by=road.by)
    assert queries.board(count).tally.counted == 1


def test_what_is_not_on_the_count_cannot_be_tapped(road, count):
    with pytest.raises(LedgerError, match="not on this count"):
        tap(count, "CASE-99", by=road.by)


def test_a_count_that_is_open_is_the_one_that_is_started(road, count):
    again = actions.start(show=road.show, truck=road.truck, by=road.by, now=clock.now())
    assert again == count
    actions.close(count=count, by=road.by, now=clock.now())
    next_one = actions.start(show=road.show, truck=road.truck, by=road.by, now=clock.now())
    assert next_one.number == 2


# -- closing ---------------------------------------------------------------------------------
def test_closing_writes_one_act_what_was_seen_and_only_what_is_said_to_be_missing(road, count):
    tap(count, "CASE-01", "CASE-02", by=road.by)
    before = Event.objects.count()
    actions.close(count=count, by=road.by, now=clock.now(), missed=["CASE-04", "CASE-01"])
    written = list(Event.objects.order_by("sequence")[before:])
    assert len({event.act for event in written}) == 1
    assert [(e.kind, e.subject.code) for e in written] == [
        ("noted", "W-014"), ("sighted", "CASE-01"), ("sighted", "CASE-02"),
        ("not_found", "CASE-04"),
    ]  # fmt: skip
    assert written[0].words == (
        "Load-out into Truck A: 2 of 5, not found: case 3, case 4, amplifier."
    )
    standing = dict(State.objects.values_list("subject__code", "standing"))
    assert standing["CASE-04"] == "not_found"
    assert standing.get("CASE-03", "held") == "held"
    where = State.objects.get(subject__code="CASE-01").place
    assert where == road.truck.subject
    assert not proof.verify(road.collection).misfits


def test_closed_twice_it_is_written_once(road, count):
    tap(count, "CASE-01", by=road.by)
    for _ in range(2):
        actions.close(count=count, by=road.by, now=clock.now())
    assert Event.objects.filter(kind="sighted").count() == 1


def test_a_tap_after_closing_is_refused_and_told(road, count):
    actions.close(count=count, by=road.by, now=clock.now())
    page = client_of(road.by).post(at(road, "doors/1/tap/"), {"code": "CASE-01"}, follow=True)
    assert "The count is closed." in text_of(page)
    assert not DoorTap.objects.exists()


def test_a_tap_that_was_on_its_way_while_the_count_closed_is_refused(road, count):
    """Another phone closes between reading the count and writing the tap: the board may not say
    'counted' of what the book was never told."""
    tap(count, "CASE-02", by=road.by)
    actions.close(count=DoorCount.objects.get(), by=road.by, now=clock.now())
    assert count.closed_at is None
    for act in (actions.tap, actions.undo):
        with pytest.raises(LedgerError, match="The count is closed"):
            act(count=count, code="CASE-02", by=road.by, now=clock.now())
    with pytest.raises(LedgerError, match="The count is closed"):
        tap(count, "CASE-01", by=road.by)
    assert [one.code for one in queries.standing(count)] == ["CASE-02"]


def test_a_case_found_later_is_found_and_the_count_stays_as_it_was(road, count):
    actions.close(count=count, by=road.by, now=clock.now(), missed=["CASE-04"])
    custody.sight(collection=road.collection, by=road.by, code="CASE-04", at=road.truck.code)
    assert State.objects.get(subject__code="CASE-04").standing == "held"
    count.refresh_from_db()
    assert "not found: case 1" in queries.board(count).tally.sentence()
    page = text_of(client_of(road.by).get(at(road, "doors/1/"))).split("Closed</h2>")[1]
    assert page.count("found since") == 1
    assert "places/of/CASE-03/sight/" in page
    assert "places/of/CASE-04/sight/" not in page


# -- the pages -------------------------------------------------------------------------------
def test_a_technician_starts_counts_undoes_and_closes_on_the_page(road):
    client = client_of(road.by)
    page = text_of(client.post(at(road, "doors/"), {"truck": "TRUCK-A"}, follow=True))
    assert "0 of 5" in page
    for code in ("CASE-01", "CASE-02", "CASE-03", "CASE-04", "A-018"):
        client.post(at(road, "doors/1/tap/"), {"code": code})
    client.post(at(road, "doors/1/tap/"), {"code": "CASE-04", "undo": "on"})
    page = text_of(client.get(at(road, "doors/1/")))
    assert "4 of 5" in page
    listed = text_of(client.get(at(road, "doors/")))
    assert "4 of 5, 1 still to count" in listed
    assert "not found" not in listed  # nobody has looked for it yet
    tally = page.split('class="door-tally"')[1].split("</p>")[0]
    assert "case 4" in tally
    page = text_of(client.post(at(road, "doors/1/close/"), {"missed": "CASE-04"}, follow=True))
    assert "Closed: 4 of 5, not found: case 4." in page
    assert "places/of/CASE-04/sight/" in page
    assert "4 of 5, not found: case 4" in text_of(client.get(at(road, "doors/")))


def test_the_tiles_alone_show_what_another_phone_tapped(road, count):
    other = a_member(road.collection)
    by_script = {"HX-Request": "true"}
    client_of(other).post(at(road, "doors/1/tap/"), {"code": "CASE-02"}, headers=by_script)
    board = text_of(client_of(road.by).get(at(road, "doors/1/tiles/")))
    assert "<html" not in board
    assert re.search(r'counted" id="tile-CASE-02"', board)
    assert "1 of 5" in board


def test_a_viewer_sees_the_count_and_can_neither_tap_nor_close(road, count, viewer_client):
    page = text_of(viewer_client.get(at(road, "doors/1/")))
    assert 'name="code"' not in page
    assert "Close the count" not in page
    for path, typed in (("tap/", {"code": "CASE-01"}), ("close/", {}), ("share/", {"label": "x"})):
        assert viewer_client.post(at(road, f"doors/1/{path}"), typed).status_code == 403


def test_the_count_asks_the_same_number_of_queries_for_few_and_many_tiles(
    road, count, django_assert_num_queries
):
    client = client_of(road.by)
    with django_assert_num_queries(6):
        client.get(at(road, "doors/1/tiles/"))
    more = [{"code": f"CASE-{n}", "name": f"case {n}"} for n in range(10, 30)]
    DoorCount.objects.filter(pk=count.pk).update(tiles=more)
    tap(DoorCount.objects.get(), *(row["code"] for row in more[:9]), by=road.by)
    with django_assert_num_queries(6):
        assert "9 of 20" in text_of(client.get(at(road, "doors/1/tiles/")))


# -- the link --------------------------------------------------------------------------------
def test_a_local_hand_counts_by_the_link_and_it_is_told(road, count):
    page = text_of(client_of(road.by).post(at(road, "doors/1/share/"), {"label": "dock hands"}))
    assert "<svg" in page.split('class="qr"')[1][:300]
    path = urlsplit(re.search(r'readonly value="([^"]+)"', page)[1]).path
    guest = Client()
    assert "0 of 5" in text_of(guest.get(path))
    for code in ("CASE-01", "A-018"):
        guest.post(f"{path}tap/", {"code": code})
    assert "2 of 5" in text_of(guest.get(f"{path}tiles/"))
    assert "2 of 5" in text_of(guest.post(f"{path}close/", follow=True))
    seen = Event.objects.filter(kind="sighted")
    assert {(e.source, e.recorded_by) for e in seen} == {("told", "guest of W-014")}
    assert {e.source_note for e in seen} == {"by link, dock hands"}
    assert not Event.objects.filter(kind="not_found").exists()
    assert not proof.verify(road.collection).misfits


def test_what_a_guest_tapped_is_told_even_when_a_technician_closes(road, count):
    made, _ = link(count, road.by)
    tap(count, "CASE-01", by=actions.guest_of(made))
    tap(count, "CASE-02", by=road.by)
    actions.close(count=count, by=road.by, now=clock.now())
    sources = dict(Event.objects.filter(kind="sighted").values_list("subject__code", "source"))
    assert sources == {"CASE-01": "told", "CASE-02": "seen"}


def test_the_link_shows_codes_and_names_and_nothing_else(road, count):
    piece = road.position.backup
    describe(
        piece=piece, by=road.by,
        changes={"serial": "HB 5O1", "value_minor": 940_000, "value_currency": "EUR",
                 "hidden_mark": "MV-7F-22", "nickname": "the quiet one"},
    )  # fmt: skip
    tap(count, "CASE-01", by=road.by)
    _, token = link(count, road.by)
    answer = Client().get(f"/link/doors/{token}/")
    seen = text_of(answer)
    assert "CASE-01" in seen
    for hidden in ("HB 5O1", "9,400", "940000", "MV-7F-22", "quiet one", "Brannoch", "Twelve",
                   road.by.name, road.by.code + ",", road.collection.name, "Sjøhallen",
                   "Bergen"):  # fmt: skip
        assert hidden not in seen, hidden
    assert answer["X-Robots-Tag"] == "noindex, nofollow, noarchive"
    assert "no-store" in answer["Cache-Control"]


@pytest.mark.parametrize("end", ["run out", "taken back", "unknown", "another purpose"])
def test_a_link_that_is_over_opens_and_writes_nothing(road, count, end):
    made, token = link(count, road.by)
    rows = ShareLink.objects.filter(pk=made.pk)
    if end == "run out":
        past = clock.now() - timedelta(seconds=1)
        rows.update(made_at=past - timedelta(hours=9), expires_at=past)
    elif end == "taken back":
        client_of(road.by).post(at(road, f"doors/1/share/{made.pk}/end/"))
    elif end == "another purpose":
        rows.update(purpose="job")
    else:
        token = "x" * 43
    guest = Client()
    for path in ("", "tiles/"):
        answer = guest.get(f"/link/doors/{token}/{path}")
        assert answer.status_code == 410
        assert "CASE-01" not in answer.content.decode()
    assert guest.post(f"/link/doors/{token}/tap/", {"code": "CASE-01"}).status_code == 410
    assert guest.post(f"/link/doors/{token}/close/").status_code == 410
    assert not DoorTap.objects.exists()


def test_the_link_ends_at_nine_in_the_morning_of_the_venue(road, count):
    made, _ = link(count, road.by)
    ends = made.expires_at.astimezone(road.show.zone)
    assert (ends.hour, ends.minute) == (9, 0)
    assert timedelta(hours=3) <= made.expires_at - made.made_at <= timedelta(hours=28)


def test_a_door_link_opens_no_other_count(road, count):
    _, token = link(count, road.by)
    actions.close(count=count, by=road.by, now=clock.now())
    other = actions.start(show=road.show, truck=road.truck, by=road.by, now=clock.now())
    answer = Client().post(f"/link/doors/{token}/tap/", {"code": "CASE-01"})
    assert answer.status_code == 422
    assert not queries.standing(other).exists()


def test_a_link_in_several_hands_takes_more_taps_than_a_persons_but_not_without_end(
    road, count, monkeypatch
):
    made, token = link(count, road.by)
    guest = Client()
    for _ in range(sharing.WRITINGS_AN_HOUR + 2):
        assert guest.post(f"/link/doors/{token}/tap/", {"code": "CASE-01"}).status_code == 302
    monkeypatch.setattr(sharing, "DOORS_AN_HOUR", 5)
    assert guest.post(f"/link/doors/{token}/tap/", {"code": "CASE-02"}).status_code == 429
    assert queries.board(count).tally.counted == 1
    assert made.uses.count() == sharing.WRITINGS_AN_HOUR + 2


def test_no_more_than_three_links_stand_open(road, count):
    for _ in range(3):
        link(count, road.by)
    with pytest.raises(LedgerError, match="take one back first"):
        link(count, road.by)


# -- the walk --------------------------------------------------------------------------------
def test_each_place_of_the_walk_is_ticked_per_show_and_can_be_undone(road):
    client = client_of(road.by)
    spot = "under the drum riser"
    for _ in range(2):
        client.post(at(road, "walk/"), {"spot": spot})
    assert WalkTick.objects.get().spot == spot
    assert road.by.name in text_of(client.get(at(road, "walk/")))
    client.post(at(road, "walk/"), {"spot": spot, "undo": "1"})
    assert not WalkTick.objects.exists()


def test_the_list_is_the_collections_own_and_a_tick_outlives_its_place(road):
    client = client_of(road.by)
    client.post(at(road, "walk/"), {"spot": "production office"})
    address = f"/{road.collection.slug}/road/walk/"
    client.post(address, {"spots": "behind the organ\n\nunder the stairs\nbehind the organ"})
    assert queries.spots(road.collection) == ["behind the organ", "under the stairs"]
    listed = [spot.words for spot in queries.walked(road.show)]
    assert listed == ["behind the organ", "under the stairs", "production office"]


def test_a_place_that_is_not_on_the_list_is_not_ticked(road):
    page = client_of(road.by).post(at(road, "walk/"), {"spot": "the moon"}, follow=True)
    assert "is not on the list" in text_of(page)
    assert not WalkTick.objects.exists()

"""The backup of a whole tour, the wanted list it feeds, calls, and the carnet rule set aside."""

from datetime import date, datetime, time, timedelta

import pytest
from django.core.exceptions import PermissionDenied
from django.utils import timezone

from collection.catalogue.actions import add_piece
from collection.ledger.models import Event
from collection.road import answer
from collection.road.actions import (
    add_outside_candidate,
    add_quote,
    add_show,
    set_position,
    travel,
)
from collection.road.carnet.actions import heed_again, set_aside
from collection.road.carnet.models import CarnetOverride
from collection.road.cover.page import cover
from collection.road.models import RoadQuote, Show
from collection.road.overrides.actions import set_override
from collection.road.queries import wanted as need_of
from collection.road.wanted.actions import close, want
from collection.road.wanted.models import Wanted
from tests.road.builders import BERGEN, CARLISLE, NOW, OSLO, a_place, a_road, an_amplifier

pytestmark = pytest.mark.django_db
AARHUS = {"town": "Aarhus", "country": "DK", "latitude": 56.16, "longitude": 10.21,
          "zone": "Europe/Copenhagen"}  # fmt: skip


@pytest.fixture
def road(technician):
    return a_road(technician)


def more_shows(road, *, count=1, **where):
    hall = a_place(road.by, f"Kornloftet {count}", "venue", **(where or AARHUS))
    return [
        add_show(
            collection=road.collection, by=road.by, tour=road.tour, venue=hall, number=14 + at,
            on=road.show.on + timedelta(days=at), doors=time(19), on_stage=time(20, 30),
            off_stage=time(22), mains_volts=230, mains_hz=50,
        )
        for at in range(1, count + 1)
    ]  # fmt: skip


def grid(road, *, now=NOW, member=None):
    found = cover(road.collection, road.tour, now=now, member=member)
    return {
        night.show.number: [c.assignment.backup if c else "" for c in night.cells]
        for night in found.nights
    }, found


def test_every_show_to_come_and_every_position_has_its_spare(road):
    more_shows(road)
    backups, found = grid(road)
    assert backups == {14: ["A-018"], 15: ["A-018"]}
    assert (found.holes, found.weakest) == (0, 1)


def test_a_show_that_is_over_is_not_reckoned_with(road):
    more_shows(road)
    backups, _ = grid(road, now=datetime(2024, 11, 24, 23, 30, tzinfo=OSLO))
    assert list(backups) == [15]


def test_one_spare_for_two_positions_leaves_one_of_them_a_hole(road, technician):
    second = an_amplifier(technician, "A-004", at=road.truck)
    set_position(tour=road.tour, number=2, name="steel amp", piece=second)
    backups, found = grid(road)
    assert sorted(backups[14], key=str) == ["A-018", None]
    assert found.nights[0].survives.any_of == 1
    assert found.nights[0].survives.spares == ("A-018",)
    first = found.closings[0]
    assert (first.how, first.code) == (Wanted.How.BUY, "A-018")


def test_what_is_not_on_the_carnet_is_a_hole_across_the_border_until_a_keeper_sets_it_aside(
    road, technician, keeper
):
    road.tour.travelling.filter(piece__code="A-018").update(on_carnet=False)
    more_shows(road)
    backups, found = grid(road)
    assert backups == {14: ["A-018"], 15: [None]}
    assert (found.closings[0].how, found.closings[0].shows) == (Wanted.How.PAPERS, 1)
    piece = road.position.backup
    with pytest.raises(PermissionDenied):
        set_aside(by=technician, tour=road.tour, piece=piece, because="its own papers")
    set_aside(by=keeper, tour=road.tour, piece=piece, because="its own papers")
    assert grid(road)[0] == {14: ["A-018"], 15: ["A-018"]}
    heed_again(by=keeper, tour=road.tour, piece=piece, because="papers ran out")
    assert grid(road)[0][15] == [None]
    said = list(Event.objects.of(road.collection).filter(kind="noted").order_by("sequence"))
    assert [one.words for one in said] == ["its own papers", "papers ran out"]


def test_the_option_says_that_the_rule_was_set_aside_and_why(road, keeper, technician):
    shop = a_place(technician, "Carlisle", **CARLISLE)
    away = an_amplifier(technician, "A-030", at=shop)
    held = need_of(road.collection, "1", now=NOW)
    shut = answer.find(road.collection, member=keeper, now=NOW, **held).ruled_out
    assert next(one for one in shut if one.code == "A-030").at_border
    set_aside(by=keeper, tour=road.tour, piece=away, because="own list stamped")
    found = answer.find(road.collection, member=keeper, now=NOW, **held)
    line = next(one for one in found.options if one.code == "A-030")
    assert line.known.set_aside.because == "own list stamped"


def test_proof_that_is_missing_is_closed_by_an_inspection(road, technician):
    second = an_amplifier(technician, "A-004", at=road.truck)
    set_position(tour=road.tour, number=2, name="steel amp", piece=second)
    an_amplifier(technician, "A-041", at=road.truck, works_on=None)
    travel(tour=road.tour, piece=an_amplifier(technician, "A-042", at=road.truck, works_on=None))
    _, found = grid(road)
    inspect = [one for one in found.closings if one.how == Wanted.How.INSPECT]
    assert [one.code for one in inspect] == ["A-041", "A-042"]
    assert inspect[0].because == "Nothing on record shows that it works."


def test_where_nothing_on_record_could_stand_in_the_page_says_hire_or_buy(road, technician):
    organ, steel = (
        add_piece(collection=road.collection, by=technician, code=code, kind="instrument",
                  family=family)
        for code, family in (("O-001", "reed organ"), ("G-001", "lap steel"))
    )  # fmt: skip
    set_position(tour=road.tour, number=3, name="reed organ", piece=organ)
    assert steel.family == "lap steel"  # a lap steel does not close it
    _, found = grid(road)
    (closing,) = found.closings
    assert (closing.what, closing.shows) == ("Hire or buy something for 3 reed organ", 1)


def test_on_a_fly_date_the_truck_is_not_there(road):
    (later,) = more_shows(road, town="Tromsø", country="NO", latitude=69.65, longitude=18.96,
                          zone="Europe/Oslo")  # fmt: skip
    Show.objects.filter(pk=later.pk).update(fly_date=True)
    _, found = grid(road, now=NOW)
    at_home, flown = (night.cells[0] for night in found.nights)
    assert (at_home.assignment.backup, flown.assignment.backup) == ("A-018", "A-018")
    assert (at_home.stands, flown.stands) == ("side", "away")  # from the truck, left in Bergen


def test_what_is_hired_for_a_night_is_not_its_own_backup(road, technician):
    held = add_outside_candidate(
        collection=road.collection, name="combo", kind="amplifier", held_by="hire", at=road.venue,
    )  # fmt: skip
    set_override(
        by=technician, position=road.position, show=road.show, outside=held, because="fly date"
    )
    backups, found = grid(road)
    assert backups[14] == ["A-018"]
    assert found.nights[0].cells[0].plays == f"{held.code} hired"


def test_a_confirmed_call_counts_for_the_show_it_was_for_only(road, technician):
    road.position.backup = None
    road.position.save()
    from_backup = road.tour.travelling.get(piece__code="A-018").piece
    set_position(tour=road.tour, number=2, name="spare plays", piece=from_backup)
    shop = a_place(technician, "Hire house", **BERGEN)
    held = add_outside_candidate(
        collection=road.collection, name="combo", kind="amplifier", held_by="hire", at=shop,
        mains_volts=230, mains_hz="50",
    )  # fmt: skip
    assert grid(road)[0][14] == [None, None]
    add_quote(
        collection=road.collection, by=technician, to=road.venue, outside=held, what="road",
        leaves_at=NOW + timedelta(minutes=30), arrives_at=NOW + timedelta(hours=1),
        basis="confirmed",
    )  # fmt: skip
    more_shows(road)
    backups, _ = grid(road)
    assert sorted(backups[14], key=str) == [None, held.code]
    assert backups[15] == [None, None]


def test_the_page_takes_as_many_queries_for_thirty_shows(
    technician, technician_client, django_assert_num_queries, collection
):
    today = timezone.localdate(timezone=collection.zone_info)
    road = a_road(technician, on=today, doors=time(23, 58), on_stage=time(23, 59), off_stage=None)
    path = f"/{collection.slug}/road/tours/{road.tour.code}/backup/"
    technician_client.get(path)
    with django_assert_num_queries(23):
        assert technician_client.get(path).status_code == 200
    more_shows(road, count=30)
    for at in range(12):
        an_amplifier(technician, f"A-1{at:02}", at=road.truck)
    with django_assert_num_queries(23):
        assert technician_client.get(path).context["cover"].nights[-1].show.number == 44


def test_a_press_puts_what_closes_a_hole_on_the_wanted_list_once(technician_client, road):
    base = f"/{road.collection.slug}/road/"
    given = {"what": "Inspect E-004", "why": "No backup at 4 echo.", "how": "inspect",
             "tour": road.tour.code}  # fmt: skip
    for _ in range(2):
        assert technician_client.post(f"{base}wanted/", given).status_code == 302
    row = Wanted.objects.of(road.collection).get()
    assert (row.how, row.tour, row.noted_by) == ("inspect", road.tour, road.by.code)
    technician_client.post(f"{base}wanted/{row.code}/close/", {"closed_by": "played hot, 24 Nov"})
    row.refresh_from_db()
    assert row.closed_by == "played hot, 24 Nov"
    assert "Played hot, 24 Nov." in technician_client.get(f"{base}wanted/").content.decode()


def test_what_was_closed_keeps_what_closed_it(road, technician):
    row = want(collection=road.collection, by=technician, what="x", why="y", since=date(2024, 1, 1))
    close(wanted=row, on=date(2024, 2, 1), closed_by="bought")
    close(wanted=row, on=date(2024, 3, 1), closed_by="again")
    assert (row.closed_on, row.closed_by) == (date(2024, 2, 1), "bought")


def test_a_call_confirms_and_quotes_for_a_show(technician_client, technician, collection):
    today = timezone.localdate(timezone=collection.zone_info)
    road = a_road(technician, on=today)
    held = add_outside_candidate(
        collection=collection, name="combo", kind="amplifier", held_by="hire", at=road.venue,
    )  # fmt: skip
    path = f"/{collection.slug}/road/outside/{held.code}/call/"
    given = {"confirmed_on": today.isoformat(), "price": "900 NOK", "basis": "confirmed",
             "show": road.show.code, "leaves_at": f"{today}T10:00", "arrives_at": f"{today}T11:00",
             "told_by": "the desk"}  # fmt: skip
    wrong = technician_client.post(path, given | {"arrives_at": f"{today}T09:00"})
    assert "arrive before it leaves" in wrong.content.decode()
    assert technician_client.post(path, given).status_code == 302
    held.refresh_from_db()
    quote = RoadQuote.objects.of(collection).get()
    assert (held.confirmed_on, quote.to, quote.cost) == (today, road.venue, "900 NOK")
    assert quote.arrives_at.astimezone(OSLO).hour == 11


def test_a_viewer_reads_the_tours_backup_and_writes_nothing(viewer_client, road, keeper):
    base = f"/{road.collection.slug}/road/"
    assert viewer_client.get(f"{base}tours/{road.tour.code}/backup/").status_code == 200
    for path in ("wanted/", f"tours/{road.tour.code}/carnet/A-018/",
                 f"tours/{road.tour.code}/rig/1/list/"):  # fmt: skip
        assert viewer_client.post(base + path, {"what": "x", "why": "y"}).status_code == 403
    assert not Wanted.objects.of(road.collection).exists()


def test_a_technician_may_not_set_the_carnet_rule_aside(technician_client, keeper_client, road):
    path = f"/{road.collection.slug}/road/tours/{road.tour.code}/carnet/A-018/"
    assert technician_client.post(path, {"because": "x"}).status_code == 403
    assert not CarnetOverride.objects.exists()
    assert keeper_client.post(path, {"because": "own papers"}).status_code == 302
    assert CarnetOverride.objects.get().because == "own papers"
    page = keeper_client.get(path).content.decode()
    assert "Own papers." in page


def test_the_pack_of_a_fly_date_names_three_accepted_and_what_airlines_take(
    technician_client, technician, road
):
    steel = add_piece(
        collection=road.collection, by=technician, code="G-001", kind="instrument",
        name="Long Eight", mass_grams=33000, size="84 × 22 × 6 cm",
    )  # fmt: skip
    set_position(tour=road.tour, number=6, name="lap steel", piece=steel)
    road.position.accepted = ["Twelve", "Twenty-Two", "Harbour 50", "Fell"]
    road.position.save()
    page = technician_client.get(f"/{road.collection.slug}/road/shows/{road.show.code}/flying/")
    text = page.content.decode()
    assert [one.piece.code for one in page.context["pack"].flying] == ["G-001"]
    assert page.context["pack"].asked_for[0].accepted == ("Twelve", "Twenty-Two", "Harbour 50")
    assert "14 CFR 251.5" in text
    assert "over 32 kg" in text
    assert "common practice, no source" in text

"""Shipments: on the way is nowhere else, late is late on the clock of where it goes."""

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from collection.core.state import from_json
from collection.custody.actions import add_place, move
from collection.custody.freight import actions, queries
from collection.custody.freight.models import Shipment
from collection.custody.models import Place
from collection.custody.whereabouts import whereabouts
from collection.ledger.actions import withdraw
from collection.ledger.errors import LedgerError, PlanRefused
from collection.ledger.models import Event, State
from registry import clock
from tests.bench.builders import a_piece
from tests.builders import client_of

pytestmark = pytest.mark.django_db
OSLO = ZoneInfo("Europe/Oslo")


@pytest.fixture
def hall(keeper) -> Place:
    return a_place(keeper, "Hall", "venue", "V-1", country="NO", zone="Europe/Oslo")


@pytest.fixture
def bay(keeper) -> Place:
    return a_place(keeper, "bay 1", "room", "P-010", country="GB", zone="Europe/London")


def a_place(by, name: str, kind: str, code: str, **known) -> Place:
    where = {"collection": by.collection, "by": by}
    return add_place(**where, name=name, kind=kind, code=code, **known)


def shipped(by, hall, *things, hours: float = 3, **more) -> Shipment:
    things = things or (a_piece(by).code,)
    expected = clock.now() + timedelta(hours=hours)
    left = min(clock.now(), expected) - timedelta(hours=1)
    way = actions.Way(to=hall, expected_at=expected, left_at=left, **more)
    return actions.ship(collection=by.collection, by=by, things=things, way=way)


def state(by, code: str):
    return from_json(State.objects.get(collection=by.collection, subject__code=code).detail)


def address(shipment: Shipment, *parts: str) -> str:
    tail = "".join(f"{part}/" for part in (shipment.code, *parts))
    return f"/{shipment.collection.slug}/places/freight/{tail}"


def test_what_is_on_the_way_stands_in_its_shipment_and_nowhere_else(keeper, hall, bay):
    code = a_piece(keeper).code
    move(collection=keeper.collection, by=keeper, code=code, to="P-010")
    shipment = shipped(keeper, hall, code, origin=bay)
    assert state(keeper, code).place == shipment.code == "FR-001"
    client, slug = client_of(keeper), keeper.collection.slug
    assert "on the way to Hall" in client.get(f"/{slug}/pieces/{code}/").content.decode()
    assert code not in client.get(f"/{slug}/places/P-010/").content.decode()
    assert client.get(f"/{slug}/places/FR-001/").url == address(shipment)


def test_a_case_takes_what_is_in_it_along(keeper, hall, bay):
    case = a_place(keeper, "case 7", "case", "CASE-07", inside=bay)
    inside = a_piece(keeper).code
    move(collection=keeper.collection, by=keeper, code=inside, to="CASE-07")
    shipped(keeper, hall, "CASE-07")
    case.refresh_from_db()
    assert case.path == "/FR-001/CASE-07/"
    known = whereabouts(keeper)
    assert known.words(case.pk) == "on the way to Hall, case 7"
    assert Event.objects.get(kind="shipped").facts["inside"] == [inside]
    event = actions.arrive(
        shipment=Shipment.objects.get(), by=keeper, at=hall, looked=actions.Looked(("CASE-07",))
    )
    case.refresh_from_db()
    assert case.path == "/V-1/CASE-07/"
    assert state(keeper, inside).unproven_because == "freight"
    assert state(keeper, inside).place == "CASE-07"
    assert event.answers == Shipment.objects.get().entry


def test_nothing_is_on_the_way_twice(keeper, hall):
    code = shipped(keeper, hall).things[0]
    with pytest.raises(PlanRefused, match=f"{code} is on the way already: FR-001"):
        shipped(keeper, hall, code)
    assert Shipment.objects.count() == 1


def test_a_shipment_is_no_place_to_choose_or_to_see_in_the_tree(keeper, hall, keeper_client):
    shipped(keeper, hall)
    known = whereabouts(keeper)
    assert "FR-001" not in {place.code for place in known.in_order}
    page = keeper_client.get(f"/{keeper.collection.slug}/places/").content.decode()
    assert "FR-001" not in page


def test_late_is_late_only_after_the_hour_there(keeper, hall):
    shipment = shipped(keeper, hall, hours=3)
    expected = shipment.expected_at
    for moment, late in ((expected, False), (expected + timedelta(minutes=1), True)):
        (line,) = queries.lines([queries.shipments(keeper.collection).get()], now=moment)
        assert (line.late, line.mark) == (late, "over" if late else "wait")


def test_the_arrival_is_said_on_the_clock_of_where_it_goes(keeper, hall):
    shipment = shipped(keeper, hall)
    # Oslo kept CET, an hour before UTC, on 24 November 2026: IANA time zone database.
    left, there = (datetime(2026, 11, 24, hour, 40, tzinfo=UTC) for hour in (9, 17))
    Shipment.objects.update(left_at=left, expected_at=there)
    now = datetime(2026, 11, 24, 14, 20, tzinfo=UTC)
    (line,) = queries.lines([queries.shipments(keeper.collection).get(pk=shipment.pk)], now=now)
    assert line.words == "on the way, expected 18:40"


def test_a_room_keeps_the_clock_of_the_hall_around_it(keeper, hall, bay, keeper_client):
    """Typed in Norway’s time for a room of the hall; the collection is at home in Lisbon."""
    a_place(keeper, "stage left", "room", "V-11", inside=hall)
    there = (clock.now() + timedelta(hours=5)).astimezone(OSLO).replace(second=0, microsecond=0)
    typed = {"things": [a_piece(keeper).code], "to": "V-11", "basis": "quoted",
             "expected_at": f"{there:%Y-%m-%dT%H:%M}", "origin": bay.code}  # fmt: skip
    url = f"/{keeper.collection.slug}/places/freight/send/"
    assert keeper_client.post(url, typed).status_code == 302
    shipment = Shipment.objects.get()
    assert shipment.crosses == ["GB", "NO"]
    assert (shipment.expected_at, shipment.zone) == (there, OSLO)
    assert Event.objects.get(kind="shipped").facts["expected"] == there.isoformat(
        timespec="minutes"
    )


def test_what_is_missing_stays_on_the_way_and_is_asked_about(keeper, hall):
    codes = [a_piece(keeper).code for _ in range(2)]
    shipment = shipped(keeper, hall, *codes)
    looked = actions.Looked((codes[0],), others=("a grey combo",), indicator="tripped")
    event = actions.arrive(shipment=shipment, by=keeper, at=hall, looked=looked)
    asked = [one.facts["question"] for one in Event.objects.filter(kind="asked")]
    assert asked == [
        f"Sent and not arrived: {codes[1]}.",
        "Arrived and not sent: a grey combo.",
        "The indicator had tripped on arrival: what happened on the way?",
    ]
    assert state(keeper, codes[1]).place == shipment.code
    assert queries.still_in(shipment) == (codes[1],)
    assert event.facts["missing"] == [codes[1]]
    (line,) = queries.lines(queries.under_way(keeper.collection), now=clock.now())
    assert line.words.startswith("the rest on the way")
    actions.arrive(shipment=shipment, by=keeper, at=hall, looked=actions.Looked((codes[1],)))
    assert not queries.under_way(keeper.collection)


def test_taking_the_entry_back_puts_things_where_they_were(keeper, hall, bay):
    code = a_piece(keeper).code
    move(collection=keeper.collection, by=keeper, code=code, to="P-010")
    shipped(keeper, hall, code)
    event = Event.objects.get(kind="shipped")
    withdraw(collection=keeper.collection, by=keeper, event=event, because="never left")
    assert state(keeper, code).place == "P-010"
    assert not queries.under_way(keeper.collection)


def test_a_private_destination_stays_private(keeper, viewer, bay):
    home = a_place(keeper, "The house", "house", "P-020", private=True)
    shipment = shipped(keeper, home)
    page = client_of(viewer).get(address(shipment)).content.decode()
    assert "a private place" in page
    assert "The house" not in page
    code = shipment.things[0]
    seen = client_of(viewer).get(f"/{keeper.collection.slug}/pieces/{code}/").content.decode()
    assert "The house" not in seen


def test_sending_by_the_page_twice_is_one_shipment(keeper, hall, bay, keeper_client):
    code = a_piece(keeper).code
    there = (clock.now() + timedelta(days=1)).astimezone(OSLO)
    typed = {
        "things": [code], "to": "V-1", "origin": "P-010", "carrier_words": "a taxi",
        "expected_at": f"{there:%Y-%m-%dT%H:%M}", "cautions": ["lithium"], "basis": "confirmed",
        "waybill": "4711", "once": "one-press",
    }  # fmt: skip
    url = f"/{keeper.collection.slug}/places/freight/send/"
    for _ in range(2):
        answer = keeper_client.post(url, typed)
        assert answer.status_code == 302, answer.content.decode()[-2000:]
    shipment = Shipment.objects.get()
    assert shipment.expected_at == there.replace(second=0, microsecond=0)
    assert (shipment.crosses, shipment.who) == (["GB", "NO"], "a taxi")
    page = keeper_client.get(address(shipment)).content.decode()
    for said in ("lithium cells inside", "dangerous goods", "passes a customs border", "4711"):
        assert said in page


def test_an_arrival_in_the_past_is_refused_and_what_was_typed_stays(keeper, hall, keeper_client):
    typed = {"things": [a_piece(keeper).code], "to": "V-1", "expected_at": "2020-01-01T10:00",
             "carrier_words": "a taxi", "crosses": "Norway"}  # fmt: skip
    url = f"/{keeper.collection.slug}/places/freight/send/"
    answer = keeper_client.post(url, typed)
    page = answer.content.decode()
    assert answer.status_code == 422
    assert "This has passed already on the clock there." in page
    assert "Two letters each, such as NO; not NORWAY." in page
    assert 'value="a taxi"' in page


def test_another_time_is_kept_with_who_said_so(keeper, hall, keeper_client):
    shipment = shipped(keeper, hall)
    later = (clock.now() + timedelta(days=2)).astimezone(OSLO).replace(second=0)
    typed = {"at": f"{later:%Y-%m-%dT%H:%M}", "why": "the driver rang", "once": "c3d4"}
    for _ in range(2):
        assert keeper_client.post(address(shipment, "expected"), typed).status_code == 302
    shipment.refresh_from_db()
    assert shipment.expected_at == later.replace(microsecond=0)
    assert "the driver rang" in Event.objects.get(kind="noted").words
    with pytest.raises(LedgerError, match="before it left"):
        actions.expect(shipment=shipment, by=keeper, at=datetime(2020, 1, 1, tzinfo=UTC), why="")


def test_the_list_of_freight_asks_the_same_few_queries(
    keeper, hall, keeper_client, django_assert_max_num_queries
):
    url = f"/{keeper.collection.slug}/places/freight/"
    shipped(keeper, hall)
    with django_assert_max_num_queries(10) as few:
        keeper_client.get(url)
    for _ in range(4):
        shipped(keeper, hall)
    with django_assert_max_num_queries(len(few)):
        keeper_client.get(url)


def test_an_arrival_is_taken_as_it_was_ticked_though_part_was_checked_meanwhile(
    keeper, hall, keeper_client
):
    shipment = shipped(keeper, hall, a_piece(keeper).code, a_piece(keeper).code)
    first, second = shipment.things
    actions.arrive(shipment=shipment, by=keeper, at=hall, looked=actions.Looked((first,)))
    url = f"/{keeper.collection.slug}/bench/arrivals/{shipment.code}/"
    typed = {"warm": "warm", "came": [first, second], "at": "V-1", "indicator": "none"}
    assert keeper_client.post(url, typed).status_code == 302
    assert Event.objects.filter(kind="arrived").last().facts["things"] == [first, second]


def test_a_viewer_reads_freight_and_writes_none(keeper, viewer, hall):
    shipment = shipped(keeper, hall)
    client, before = client_of(viewer), Event.objects.count()
    assert "It is here" not in client.get(address(shipment)).content.decode()
    assert client.post(address(shipment, "expected"), {}).status_code == 403
    assert client.get(f"/{keeper.collection.slug}/bench/arrivals/FR-001/").status_code == 403
    assert Event.objects.count() == before

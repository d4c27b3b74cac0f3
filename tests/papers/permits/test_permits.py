"""Permits: materials, certificates, the cautions of a journey, each through its page."""

from datetime import date

import pytest

from collection.catalogue.models import Piece
from collection.core.permit_cautions import cautions
from collection.core.species import AS_OF, SPECIES
from collection.ledger.errors import PlanRefused
from collection.ledger.models import Event
from collection.ledger.telling import Telling
from collection.papers.borders import actions as borders
from collection.papers.permits import actions, queries
from collection.papers.permits.models import InstrumentCertificate, PartMaterial
from collection.road.actions import travel
from collection.stock import actions as stock
from tests.builders import client_of
from tests.papers.borders.builders import an_issued_carnet, page_of, passed
from tests.papers.samples import a_certificate_of, an_instrument


@pytest.fixture
def client(technician):
    return client_of(technician)


def base(by):
    return f"/{by.collection.slug}/papers/permits/"


def numbers(road):
    return [(one.number, one.piece) for one in cautions(queries.trip_of(page_of(road)))]


def test_a_part_is_written_down_once_and_stands_in_the_book(technician):
    piece = an_instrument(technician, "G-303")
    told = Telling(once="2" * 32)
    for _ in range(2):
        actions.add_material(
            piece=piece, by=technician, part="fingerboard", trade="rosewood", telling=told
        )
    row = PartMaterial.objects.get()
    assert Event.objects.get(sequence=row.entry).words == (
        "fingerboard, rosewood, species unknown."
    )


def test_what_shows_a_material_and_since_when_stays_in_the_book_once_it_is_struck(technician):
    piece = an_instrument(technician, "G-303")
    row = actions.add_material(
        piece=piece, by=technician, part="fingerboard", scientific="Dalbergia nigra",
        evidence="bill of sale", acquired_by=date(1964, 5, 2),
    )  # fmt: skip
    entry = row.entry
    actions.strike_material(row=row, by=technician)
    assert Event.objects.get(sequence=entry).words == (
        "fingerboard, Dalbergia nigra, acquired by 2 May 1964, shown by: bill of sale."
    )


def test_the_page_says_what_a_trade_name_may_be(client, technician):
    piece = an_instrument(technician, "G-303")
    address = f"{base(technician)}pieces/{piece.code}/"
    sent = {"part": "fingerboard", "trade": "rosewood", "once": "1" * 32}
    assert client.post(address, sent).status_code == 302
    page = client.get(address).content.decode()
    assert "species unknown" in page
    assert "Dalbergia nigra" in page
    assert "Information, not legal advice" in page
    struck = f"{base(technician)}materials/{PartMaterial.objects.get().pk}/strike/"
    assert client.post(struck).status_code == 302
    assert not PartMaterial.objects.exists()
    assert Event.objects.filter(words__startswith="Struck: fingerboard").exists()


def test_a_part_without_any_name_is_refused_and_what_was_typed_stays(client, technician):
    piece = an_instrument(technician, "G-303")
    address = f"{base(technician)}pieces/{piece.code}/"
    answer = client.post(address, {"part": "fingerboard"})
    assert answer.status_code == 422
    assert "One of the two names" in answer.content.decode()
    assert 'value="fingerboard"' in answer.content.decode()


def test_a_certificate_lasts_three_years_at_most(technician):
    # Source: FIM/Pearle handbook
    with pytest.raises(PlanRefused, match="three years at most: until 1 January 2027"):
        a_certificate_of(technician, "G-303", expires_on=date(2027, 1, 2))


def test_a_certificate_is_kept_with_its_species_and_crossings(client, technician):
    an_instrument(technician, "G-303")
    sent = {"piece": "G-303", "number": "X-7", "authority": "The authority", "state": "gb",
            "holder": "Mirren Vale", "issued_on": "2024-01-02", "once": "6" * 32}  # fmt: skip
    assert client.post(f"{base(technician)}add/", sent).status_code == 302
    made = InstrumentCertificate.objects.get()
    assert (made.expires_on, made.state) == (date(2027, 1, 1), "GB")
    address = f"{base(technician)}certificates/{made.code}/"
    named = {"part": "fingerboard", "scientific": "Dalbergia nigra", "appendix": "I",
             "acquired_on": "1961-05-02"}  # fmt: skip
    assert client.post(f"{address}species/", named).status_code == 302
    out = {"direction": "out", "country": "GB", "place": "Newcastle", "on": "2024-11-09",
           "stamped": "no"}  # fmt: skip
    assert client.post(f"{address}stamp/", out).status_code == 302
    page = client.get(address).content.decode()
    for said in ("Dalbergia nigra", "2 May 1961", "not stamped", "Neither sold nor handed on"):
        assert said in page
    assert "1 crossing not stamped" in client.get(base(technician)).content.decode()


def test_a_journey_is_cautioned_from_what_is_written_down(technician):
    road, carnet = an_issued_carnet(technician)
    made = a_certificate_of(technician, "G-303", expires_on=date(2024, 12, 31))
    travel(tour=road.tour, piece=made.piece)
    named = {"part": "fingerboard", "scientific": "Dalbergia nigra"}
    actions.add_species(certificate=made, by=technician, **named, appendix="I")
    actions.add_material(piece=made.piece, by=technician, **named)
    actions.set_abroad(piece=made.piece, by=technician, for_sale=True, handed_over="a player")
    borders.cross(carnet=carnet, by=technician, passed=passed(stamped=False))
    assert numbers(road) == [
        (2, "G-303"), (5, "G-303"), (6, "G-303"), (6, "G-303"), (7, ""), (8, "G-303"),
    ]  # fmt: skip


def test_rosewood_of_unknown_species_is_cautioned_on_the_page(client, technician):
    road, _ = an_issued_carnet(technician)
    piece = Piece.objects.get(code="A-003")
    actions.add_material(piece=piece, by=technician, part="handle", trade="rosewood")
    page = client.get(f"{base(technician)}trip/{road.tour.code}/").content.decode()
    assert "caution 4" in page
    assert "treat it as Dalbergia nigra" in page
    assert f'As of <time datetime="{AS_OF:%Y-%m-%d}">' in page


def test_a_tube_replaced_since_the_issue_is_cautioned(technician):
    road, _ = an_issued_carnet(technician)
    kind = stock.add_type(collection=road.collection, code="EL84")
    lot = stock.add_lot(collection=road.collection, by=technician, type=kind, code="L-901")
    where = {"collection": road.collection, "by": technician, "lot": lot}
    piece = Piece.objects.get(code="A-003")
    stock.receive(**where, units=4, telling=Telling(happened="2024-10-01"))
    stock.issue(**where, units=1, grade="show", piece=piece, position="V4",
                telling=Telling(happened="2024-11-01"))  # fmt: skip
    assert (11, "A-003") in numbers(road)


def test_a_tube_replaced_before_the_issue_is_not(technician):
    road, _ = an_issued_carnet(technician)
    assert not [one for one in numbers(road) if one[0] == 11]


def test_the_collection_says_when_the_table_is_old(keeper, technician_client):
    client = client_of(keeper)
    address = f"{base(keeper)}species/"
    assert client.post(f"{base(keeper)}rules/", {"stale_months": 24}).status_code == 302
    assert queries.stale_months(keeper.collection) == 24
    page = client.get(address).content.decode()
    assert page.count("Source: ") >= len(SPECIES)
    today = date(AS_OF.year + 2, AS_OF.month, AS_OF.day + 1)
    assert queries.advice(keeper.collection, today=today).stale
    assert not queries.advice(keeper.collection, today=today.replace(day=AS_OF.day)).stale
    assert technician_client.post(f"{base(keeper)}rules/", {"stale_months": 3}).status_code == 403


def test_who_only_looks_sees_no_permits(viewer_client, collection):
    assert viewer_client.get(f"/{collection.slug}/papers/permits/").status_code == 403


def test_lists_ask_the_same_few_questions(client, technician, django_assert_max_num_queries):
    road, _ = an_issued_carnet(technician)
    for number in range(8):
        made = a_certificate_of(technician, f"G-3{number:02}", number=f"X-{number}")
        travel(tour=road.tour, piece=made.piece)
        actions.add_material(piece=made.piece, by=technician, part="bridge", trade="rosewood")
    with django_assert_max_num_queries(14):
        assert client.get(base(technician)).status_code == 200
    with django_assert_max_num_queries(30):
        assert client.get(f"{base(technician)}trip/{road.tour.code}/").status_code == 200

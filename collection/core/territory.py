"""Which countries share a customs border, and which share dry land.

Information, not legal advice: the two tables are small, they age, and customs has the
last word. `CUSTOMS_AS_OF` is printed wherever the answer decides something.
Sources, from memory: customs territory of the Union, Regulation (EU) No 952/2013
(Union Customs Code), Article 4, with Monaco; customs treaty Switzerland-Liechtenstein of
29 March 1923; customs arrangements of the United Kingdom with Jersey, Guernsey and the
Isle of Man, 26 November 2018; Windsor Framework for Northern Ireland.
Limits: parts of a country with a border of their own (Northern Ireland, the Canaries,
Svalbard) cannot be told by the country's code; Northern Ireland may be entered as 'XI',
which follows the Union's rules for goods. Turkey, Andorra and San Marino have customs
unions with the Union but stand outside its territory, so they count as a border.
"""

from datetime import date

CUSTOMS_AS_OF = date(2025, 6, 30)

_UNION = frozenset(
    "AT BE BG CY CZ DE DK EE ES FI FR GR HR HU IE IT LT LU LV MC MT NL PL PT RO SE SI SK XI".split()
)
_TERRITORIES = (
    ("EU", _UNION),
    ("GB", frozenset({"GB", "GG", "IM", "JE"})),
    ("CH", frozenset({"CH", "LI"})),
)
_OF_COUNTRY = {country: name for name, members in _TERRITORIES for country in members}

# Countries joined by road, bridges included. Whatever is not named is taken for an island.
# The tunnel under the Channel carries lorries by train with departures: it counts as water.
_LANDMASSES = (
    ("Eurasia", _UNION - {"CY", "IE", "MT", "XI"}),
    ("Eurasia", frozenset("AD AL BA BY CH LI MD ME MK NO RS SM TR UA VA XK".split())),
    ("Great Britain", frozenset({"GB"})),
    ("Ireland", frozenset({"IE", "XI"})),
    ("North America", frozenset({"CA", "MX", "US"})),
)
_LAND_OF_COUNTRY = {country: name for name, members in _LANDMASSES for country in members}


def customs_territory(country: str) -> str:
    """Name of the customs territory of a country, its own code when it stands alone.

    >>> customs_territory("DK"), customs_territory("GB"), customs_territory("NO")
    ('EU', 'GB', 'NO')
    """
    return _OF_COUNTRY.get(country, country)


def landmass(country: str) -> str:
    """Name of the land a country lies on; two of one name are joined by road."""
    return _LAND_OF_COUNTRY.get(country, country)

"""How far two places lie apart, on the ellipsoid.

Model: the shortest line on the WGS 84 ellipsoid at sea level. Roads are longer: the
detour is a planning figure of `transit.Rules`, not of this module.
Source: C. F. F. Karney (2013), Algorithms for geodesics, Journal of Geodesy 87, 43-55,
through the geographiclib package (error about 15 nm, converges for antipodes as well).
"""

from dataclasses import dataclass
from functools import lru_cache
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from geographiclib.geodesic import Geodesic


@dataclass(frozen=True, slots=True, kw_only=True)
class Site:
    """A place gear can be at, with what a journey needs to know of it.

    latitude, longitude: decimal degrees on WGS 84, north and east positive.
    country: ISO 3166-1 alpha-2 code. time_zone: IANA name such as 'Europe/Oslo'.
    Raises ValueError for a coordinate off the globe, a code or a zone that cannot be.
    """

    name: str
    latitude: float
    longitude: float
    country: str
    time_zone: str

    def __post_init__(self) -> None:
        if not -90 <= self.latitude <= 90:
            raise ValueError(f"{self.name}: latitude {self.latitude} is not within -90 to 90.")
        if not -180 <= self.longitude <= 180:
            raise ValueError(f"{self.name}: longitude {self.longitude} is not within -180 to 180.")
        if len(self.country) != 2 or not (self.country.isascii() and self.country.isupper()):
            raise ValueError(
                f"{self.name}: {self.country!r} is no two-letter country code; write it like 'NO'."
            )
        _known_zone(self.name, self.time_zone)

    @property
    def zone(self) -> ZoneInfo:
        """The place's time zone with its rules for summer time."""
        return ZoneInfo(self.time_zone)


def _known_zone(name: str, time_zone: str) -> None:
    try:
        ZoneInfo(time_zone)
    except (ZoneInfoNotFoundError, ValueError) as error:
        raise ValueError(
            f"{name}: {time_zone!r} is no time zone; write it like 'Europe/Oslo'."
        ) from error


def kilometres(a: Site, b: Site) -> float:
    """Length of the geodesic between two sites in km, 0 to about 20,004.

    >>> bergen = Site(name="Bergen", latitude=60.39, longitude=5.32,
    ...               country="NO", time_zone="Europe/Oslo")
    >>> kilometres(bergen, bergen)
    0.0
    """
    return _geodesic(a.latitude, a.longitude, b.latitude, b.longitude)


# A tour asks for the same pairs again and again, and one line costs some 50 microseconds.
@lru_cache(maxsize=8192)
def _geodesic(lat_a: float, lon_a: float, lat_b: float, lon_b: float) -> float:
    line = Geodesic.WGS84.Inverse(lat_a, lon_a, lat_b, lon_b, Geodesic.DISTANCE)
    return float(line["s12"]) / 1000

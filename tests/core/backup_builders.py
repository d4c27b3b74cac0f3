"""Plain builders for the tests of backups: a stage in Bergen and pieces around it."""

from datetime import UTC, date, datetime
from typing import Any

from collection.core.backup import Candidate, Evidence, Need
from collection.core.distance import Site

BERGEN = Site(name="Bergen", latitude=60.39, longitude=5.32, country="NO", time_zone="Europe/Oslo")
VOSS = Site(name="Voss", latitude=60.63, longitude=6.42, country="NO", time_zone="Europe/Oslo")
CARLISLE = Site(
    name="Carlisle", latitude=54.89, longitude=-2.93, country="GB", time_zone="Europe/London"
)
ODENSE = Site(
    name="Odense", latitude=55.40, longitude=10.39, country="DK", time_zone="Europe/Copenhagen"
)
UTRECHT = Site(
    name="Utrecht", latitude=52.09, longitude=5.12, country="NL", time_zone="Europe/Amsterdam"
)
NOW = datetime(2026, 11, 24, 14, 42, tzinfo=UTC)
DOORS = datetime(2026, 11, 24, 18, 0, tzinfo=UTC)
PROVEN = (Evidence(level="played-hot", on=date(2026, 11, 22)),)


def need(**changes: Any) -> Need:
    facts: dict[str, Any] = {
        "kind": "amplifier", "design": "Twelve", "circuit": "BR-12/C", "at": BERGEN,
        "ready_by": DOORS, "now": NOW, "code": "A-003",
    }  # fmt: skip
    return Need(**(facts | changes))


def candidate(code: str = "A-018", **changes: Any) -> Candidate:
    facts: dict[str, Any] = {
        "code": code, "kind": "amplifier", "design": "Twelve", "circuit": "BR-12/C",
        "site": BERGEN, "stands": "side", "free_from": NOW, "evidence": PROVEN,
    }  # fmt: skip
    return Candidate(**(facts | changes))

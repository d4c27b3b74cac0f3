"""How long the nearest backup takes: `python -m tests.benchmarks.backup`."""

import random
from datetime import UTC, date, datetime, timedelta
from time import perf_counter
from typing import Any

from collection.core.backup import Candidate, Evidence, Need, Position, Show, rank, rig_backup
from collection.core.distance import Site
from collection.core.transit import Rules

KINDS = ("amplifier", "instrument", "cabinet", "effect", "microphone")
STANDS = ("patched", "side", "truck", "town", "away", "away", "away", "away")
NOW = datetime(2026, 11, 24, 14, 42, tzinfo=UTC)


def sites(count: int, seed: int) -> tuple[Site, ...]:
    """Places spread over the north-west of Europe."""
    draw = random.Random(seed)
    return tuple(
        Site(
            name=f"place {number}",
            latitude=draw.uniform(44, 62),
            longitude=draw.uniform(-5, 15),
            country=draw.choice(("GB", "NO", "DK", "DE", "NL", "FR")),
            time_zone="Europe/Oslo",
        )
        for number in range(count)
    )


def candidates(count: int, places: tuple[Site, ...], seed: int) -> list[Candidate]:
    """The pieces of `facts`, built."""
    return [Candidate(**each) for each in facts(count, places, seed)]


def facts(count: int, places: tuple[Site, ...], seed: int) -> list[dict[str, Any]]:
    """Pieces of five kinds, most of them proven and on the carnet, one in twelve barred."""
    draw = random.Random(seed)
    proofs = [
        (Evidence(level="played-hot", on=date(2026, 11, 1) - timedelta(days=back)),)
        for back in range(0, 200, 10)
    ]
    return [
        {
            "code": f"A-{number}",
            "kind": draw.choice(KINDS),
            "design": f"design {number % 40}",
            "circuit": f"circuit {number % 80}",
            "site": draw.choice(places),
            "stands": draw.choice(STANDS),
            "free_from": NOW,
            "evidence": draw.choice(proofs),
            "barred": ("lent",) if number % 12 == 0 else (),
            "on_carnet": number % 3 > 0,
            "mains_volts": 230,
        }
        for number in range(count)
    ]


def need(at: Site) -> Need:
    """An amplifier is wanted before doors."""
    return Need(
        kind="amplifier",
        design="design 3",
        circuit="circuit 3",
        at=at,
        ready_by=NOW + timedelta(hours=6),
        now=NOW,
        accepted=("design 3", "design 7"),
        close_circuits=frozenset({"circuit 7"}),
        mains_volts=230,
        mains_hz=50,
    )


def tour(shows: int, positions: int, places: tuple[Site, ...]) -> tuple[list[Show], list[Position]]:
    """A show every other night, positions over all kinds."""
    nights = [NOW + timedelta(days=2 * night) for night in range(shows)]
    dates = [
        Show(
            name=f"show {night}",
            at=places[night % len(places)],
            now=start,
            ready_by=start + timedelta(hours=6),
            mains_volts=230,
            mains_hz=50,
        )
        for night, start in enumerate(nights)
    ]
    stage = [
        Position(
            name=str(place),
            kind=KINDS[place % len(KINDS)],
            design=f"design {place}",
            circuit=f"circuit {place}",
            code=f"A-{place}",
            outage_minutes=4,
        )
        for place in range(positions)
    ]
    return dates, stage


def milliseconds(start: float) -> str:
    return f"{(perf_counter() - start) * 1000:.0f} ms"


def measure() -> list[tuple[str, str]]:
    """Building and ranking 100,000 candidates at 500 places, and a whole tour."""
    places = sites(500, seed=1)
    drawn = facts(100_000, places, seed=2)
    start = perf_counter()
    pieces = [Candidate(**each) for each in drawn]
    built = milliseconds(start)
    start = perf_counter()
    ranking = rank(need(places[0]), pieces, Rules())
    ranked = milliseconds(start)
    start = perf_counter()
    out = ranking.ruled_out()
    reasoned = milliseconds(start)
    spares = candidates(2_000, places[:60], seed=3)
    start = perf_counter()
    rig = rig_backup(*tour(60, 12, places[:60]), spares, Rules())
    assigned = milliseconds(start)
    holes = sum(each.backup is None for each in rig)
    return [
        ("backup: 100,000 candidate records built", built),
        (f"backup: ranked at 500 places, {len(ranking.options)} options", ranked),
        (f"backup: reasons for {len(out)} ruled out, on demand", reasoned),
        (f"backup: 60 shows x 12 positions x 2,000 spares, {holes} holes", assigned),
    ]


if __name__ == "__main__":
    for label, figure in measure():
        print(f"{label}: {figure}")

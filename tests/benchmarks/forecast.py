"""How long a forecast of spares takes: `python -m tests.benchmarks.forecast`."""

from collections.abc import Callable
from time import perf_counter

from collection.core.depletion import Sockets, Stock, Usage, deplete
from collection.core.life import Life
from tests.core import simpy_reference

FUTURES, YEARS = 10_000, 30
# 120 units, 8 positions: about five years of touring, looked at over thirty.
STOCK = Stock(units=120, passes_test=0.9)
LOSSY = Stock(
    units=120,
    passes_test=0.9,
    shelf_loss_per_year=0.01,
    bulk_losses_per_year=0.1,
    bulk_loss_share=0.2,
)
SOCKETS = Sockets(hours_on=tuple(7.0 * position for position in range(8)), pull_at_hours=60.0)
LIFE = Life(shape=2.0, scale_hours=300.0)
USAGE = Usage(shows_per_year=120, hours_per_show=1.5, yearly_size=10.0)
# The event program is slow; this many futures are run and the time is scaled up.
SAMPLE = 150


def measure() -> list[tuple[str, str]]:
    """Our milliseconds, and how many times longer the event program takes."""
    plain = best_ms(lambda: deplete(STOCK, SOCKETS, LIFE, USAGE, years=YEARS, seed=1), 9)
    lossy = best_ms(lambda: deplete(LOSSY, SOCKETS, LIFE, USAGE, years=YEARS, seed=1), 9)
    forecast = deplete(STOCK, SOCKETS, LIFE, USAGE, years=YEARS, seed=1)
    fan = best_ms(forecast.by_year, 3)
    events = best_ms(lambda: play(STOCK), 2) * FUTURES / SAMPLE
    events_lossy = best_ms(lambda: play(LOSSY), 2) * FUTURES / SAMPLE
    size = f"{FUTURES:,} futures, {YEARS} years, 8 positions, 120 units"
    return [
        (f"forecast of {size}", f"{plain:.0f} ms"),
        ("the same with losses on the shelf and in bulk", f"{lossy:.0f} ms"),
        ("units left by year, on demand", f"{fan:.0f} ms"),
        (f"SimPy program, scaled up from {SAMPLE} futures", f"{events / plain:.0f} times as long"),
        ("SimPy program with losses", f"{events_lossy / lossy:.0f} times as long"),
    ]


def play(stock: Stock) -> None:
    """A sample of futures by the event program."""
    simpy_reference.futures(stock, SOCKETS, LIFE, USAGE, count=SAMPLE, years=YEARS, seed=1)


def best_ms(run: Callable[[], object], rounds: int) -> float:
    """Milliseconds of the quickest of several rounds: what the machine can do undisturbed."""
    times = []
    for _ in range(rounds):
        started = perf_counter()
        run()
        times.append(perf_counter() - started)
    return min(times) * 1000


if __name__ == "__main__":
    for label, text in measure():
        print(f"{label}: {text}")

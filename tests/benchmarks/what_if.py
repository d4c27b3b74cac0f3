"""What a what-if costs the server beside the bare forecast: `python -m tests.benchmarks.what_if`.

The demo is loaded into a database of its own; every question is a new one, so that nothing is
answered from memory. What the page does beside drawing futures is the book read, the lives
counted and the fragment rendered.
"""

import os
import shutil
import tempfile
from itertools import count
from statistics import median
from time import perf_counter

KINDS = ("EL34", "EL84", "12AX7")
ROUNDS = 7


def measure() -> list[tuple[str, str]]:
    """Milliseconds of the answer, of the bare call, and their ratio, type by type."""
    folder = tempfile.mkdtemp(prefix="what-if-")
    os.environ["REGISTRY_VAR"] = folder
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "tests.settings")
    try:
        return _measured()
    finally:
        shutil.rmtree(folder, ignore_errors=True)


def _measured() -> list[tuple[str, str]]:
    import django

    django.setup()
    from django.core.management import call_command
    from django.test import Client

    from fixtures.demo import load

    call_command("migrate", verbosity=0)
    desk = load.load(now=load.BEGINS, say=lambda line: None, with_photos=False)
    client = Client()
    client.force_login(desk.members["ines"].person)
    found = []
    for kind in KINDS:
        asked, bare, shows = [], [], count(40)
        _once(client, kind, next(shows))
        for _ in range(ROUNDS):
            seconds, then = _once(client, kind, next(shows))
            asked.append(seconds)
            bare.append(_bare(then))
        page, call = 1000 * median(asked), 1000 * median(bare)
        found.append(
            (f"{kind}: what-if, bare forecast, ratio",
             f"{page:.0f} ms, {call:.0f} ms, {page / call:.2f}")
        )  # fmt: skip
    return found


def _once(client, kind: str, shows: int):
    """Ask what would be with another number of shows; the time, and the question asked."""
    from collection.stock import asked as module

    seen, draw = [], module.deplete

    def spied(*args, **kwargs):
        seen.append((args, kwargs))
        return draw(*args, **kwargs)

    module.deplete = spied
    try:
        started = perf_counter()
        page = client.get(
            f"/mirren-vale/stock/type/{kind}/", {"shows": shows}, headers={"HX-Request": "true"}
        )
        seconds = perf_counter() - started
    finally:
        module.deplete = draw
    assert page.status_code == 200
    assert b"as it would be" in page.content
    return seconds, seen[-1]


def _bare(question) -> float:
    from collection.core.depletion import deplete

    args, kwargs = question
    started = perf_counter()
    deplete(*args, **kwargs)
    return perf_counter() - started


if __name__ == "__main__":
    for label, text in measure():
        print(f"{label}: {text}")

"""What a what-if costs the server beside the bare forecast: `python -m tests.benchmarks.what_if`.

The demo is loaded into a database of its own; every question is a new one, so that nothing is
answered from memory. What the page does beside drawing futures is the book read, the lives
counted and the fragment rendered.
"""

import os
import shutil
import tempfile
from itertools import count, islice
from statistics import median
from time import perf_counter

KINDS = ("EL34", "EL84", "12AX7")
ROUNDS = 7
FIELDS = ("shows", "pull", "buy")


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
        client.get(f"/mirren-vale/stock/type/{kind}/")
        found.append(
            (f"{kind}: the first what-if after its page", _said([_once(client, kind, 39)]))
        )
        for field in FIELDS:
            numbers = islice(count(40), ROUNDS)
            timed = [_once(client, kind, number, field) for number in numbers]
            found.append((f"{kind}: what-if of {field}", _said(timed)))
    return found


def _said(timed) -> str:
    """What the answers took, what their forecasts take alone, and the ratio; medians."""
    bare = [sum(_bare(one) for one in questions) for _, questions in timed]
    page, call = (1000 * median(some) for some in ([seconds for seconds, _ in timed], bare))
    return f"{page:.0f} ms, bare forecast {call:.0f} ms, ratio {page / call:.2f}"


def _once(client, kind: str, number: int, field: str = "shows"):
    """Ask what would be with another number in a field; the time, and the question asked.

    Of several forecasts of one request (beyond the horizon a longer one follows) all count.
    """
    from collection.stock import asked as module

    seen, draw = [], module.deplete

    def spied(*args, **kwargs):
        seen.append((args, kwargs))
        return draw(*args, **kwargs)

    module.deplete = spied
    try:
        started = perf_counter()
        page = client.get(
            f"/mirren-vale/stock/type/{kind}/", {field: number}, headers={"HX-Request": "true"}
        )
        seconds = perf_counter() - started
    finally:
        module.deplete = draw
    assert page.status_code == 200
    assert b"as it would be" in page.content
    return seconds, seen


def _bare(question) -> float:
    from collection.core.depletion import deplete

    args, kwargs = question
    started = perf_counter()
    deplete(*args, **kwargs)
    return perf_counter() - started


if __name__ == "__main__":
    for label, text in measure():
        print(f"{label}: {text}")

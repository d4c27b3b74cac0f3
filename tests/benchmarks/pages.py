"""List and piece page on 20,000 pieces and 500,000 events, with their query counts."""

import json
import os
import subprocess
import sys
import tempfile
from itertools import cycle
from pathlib import Path
from time import perf_counter

PIECES, EVENTS = 20_000, 500_000
ROOT = Path(__file__).resolve().parents[2]
HISTORY = 4_000  # entries of the piece that is looked at; others have about 25


def measure() -> list[tuple[str, str]]:
    """Milliseconds a page and the queries it asked, in a database made for this run."""
    with tempfile.TemporaryDirectory() as folder:
        settings = {"REGISTRY_VAR": folder, "DJANGO_SETTINGS_MODULE": "registry.settings"}
        done = subprocess.run(
            [sys.executable, "-m", "tests.benchmarks.pages"],
            cwd=ROOT,
            env={**os.environ, **settings},
            capture_output=True,
            text=True,
            check=True,
        )
    return [(label, text) for label, text in json.loads(done.stdout.splitlines()[-1])]


def _filled() -> tuple:
    """A collection with its pieces and entries, written in bulk; leaves are not hashed here."""
    from django.core.management import call_command

    call_command("migrate", verbosity=0)
    from registry.access import actions
    from registry.access.roles import Role

    collection = actions.open_collection(name="Large", slug="large", zone="Europe/Oslo")
    person = actions.add_person(username="ines", name="Ines Holt")
    member = actions.join(collection, person, role=Role.KEEPER)
    subjects, places = _pieces(collection)
    _entries(collection, subjects, places)
    return collection, member


def _pieces(collection) -> tuple[list, list]:
    from collection.catalogue.models import Piece
    from collection.custody.models import Place
    from collection.ledger.models import State, Subject

    places = Subject.objects.bulk_create(
        Subject(collection=collection, code=f"P-{n:03d}", kind="place") for n in range(200)
    )
    Place.objects.bulk_create(
        Place(subject=s, collection=collection, code=s.code, name=s.code, kind="shelf",
              path=f"/{s.code}/") for s in places
    )  # fmt: skip
    subjects = Subject.objects.bulk_create(
        Subject(collection=collection, code=f"A-{n:05d}", kind="piece") for n in range(PIECES)
    )
    kinds = cycle(("amplifier", "instrument", "effect", "cabinet"))
    Piece.objects.bulk_create(
        [Piece(subject=s, collection=collection, code=s.code, kind=k, name="Harbour 50",
               search=s.code.lower()) for s, k in zip(subjects, kinds, strict=False)],
        batch_size=2000,
    )  # fmt: skip
    State.objects.bulk_create(
        [State(subject=s, collection=collection, place=p)
         for s, p in zip(subjects, cycle(places), strict=False)],
        batch_size=2000,
    )  # fmt: skip
    return subjects, places


def _entries(collection, subjects: list, places: list) -> None:
    """One entry is written by the ORM, the others are copied from it inside the database."""
    from django.db import connection, transaction
    from django.utils import timezone

    from collection.core.entry import to_us
    from collection.ledger.models import Event

    now = timezone.now()
    first = Event.objects.create(
        collection=collection, sequence=0, subject=subjects[0], kind="moved",
        facts={"to": places[0].code, "manner": "carried", "holder": ""},
        names={"to": places[0].code}, happened="2026-01-01", recorded_at=now,
        placed_us=to_us(now), recorded_by="ines", source="seen", certainty="certain",
        act="a", leaf="0" * 64,
    )  # fmt: skip
    changed = {
        "sequence": "i",
        "placed_us": "placed_us + i",
        "subject_id": f"{subjects[0].pk} + CASE WHEN i < {HISTORY} THEN 0 ELSE i % {PIECES} END",
    }
    columns = [f.column for f in Event._meta.concrete_fields if f.column != "id"]
    taken = ", ".join(changed.get(column, column) for column in columns)
    with transaction.atomic(), connection.cursor() as cursor:
        cursor.execute(
            "WITH RECURSIVE n(i) AS"
            f" (SELECT 1 UNION ALL SELECT i + 1 FROM n WHERE i < {EVENTS - 1})"
            f" INSERT INTO collection_event ({', '.join(columns)})"
            f" SELECT {taken} FROM n, (SELECT * FROM collection_event WHERE id = {first.pk})"
        )
        cursor.execute(
            "INSERT INTO collection_mention (subject_id, entry_id, role, placed_us)"
            " SELECT subject_id, id, 'subject', placed_us FROM collection_event"
        )
        cursor.execute("ANALYZE")


def _page(client, address: str) -> str:
    from django.db import connection
    from django.test.utils import CaptureQueriesContext

    client.get(address)
    best, queries = float("inf"), 0
    for _ in range(5):
        with CaptureQueriesContext(connection) as asked:
            started = perf_counter()
            answer = client.get(address)
            best = min(best, perf_counter() - started)
        queries = len(asked)
        assert answer.status_code == 200, (address, answer.status_code)
    return f"{best * 1000:.0f} ms, {queries} queries"


def _main() -> None:
    import django

    django.setup()
    from django.conf import settings
    from django.test import Client

    from registry import clock

    settings.ALLOWED_HOSTS = ["testserver"]
    started = perf_counter()
    collection, member = _filled()
    filled = perf_counter() - started
    client = Client()
    client.force_login(member.person)
    at, today = f"/{collection.slug}/", clock.today(collection.zone_info)
    pages = {
        "list, first page": f"{at}pieces/",
        "list, page 400": f"{at}pieces/?page=400",
        "list, two filters": f"{at}pieces/?kind=amplifier&standing=held",
        "list, search": f"{at}pieces/?q=19999",
        "as of today, first page": f"{at}as-of/?at={today}",
        "piece with 25 entries": f"{at}pieces/A-19999/",
        f"piece with {HISTORY:,} entries": f"{at}pieces/A-00000/",
        "the book, newest page": f"{at}book/",
    }
    found = [(f"{PIECES:,} pieces, {EVENTS:,} entries written in", f"{filled:.0f} s")]
    found += [(label, _page(client, address)) for label, address in pages.items()]
    print(json.dumps(found))


if __name__ == "__main__":
    _main()

"""Many processes write into one book at once: nothing is lost, nothing leaves a gap.

They run the site's own settings on a database file, or a PostgreSQL database, of their own.
"""

import os
import subprocess
import sys
import uuid
from collections.abc import Iterator
from urllib.parse import urlsplit

import pytest
from django.db import connection

PROCESSES, EACH = 4, 50
SLUG = "many"

pytestmark = pytest.mark.processes


def environment(**changed: str) -> dict[str, str]:
    kept = {k: v for k, v in os.environ.items() if k != "REGISTRY_DATABASE"}
    return kept | {"DJANGO_SETTINGS_MODULE": "registry.settings"} | changed


def started(given: list[str], around: dict[str, str]) -> subprocess.Popen:
    command = [sys.executable, "-W", "error", "-m", "tests.ledger.writers", *given]
    return subprocess.Popen(
        command,
        env=around,
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )


def finished(process: subprocess.Popen) -> str:
    said, wrong = process.communicate(timeout=300)
    assert process.returncode == 0, wrong
    return said


def many_write(around: dict[str, str]) -> dict[str, str]:
    """What the book says after all of them wrote at the same time."""
    member = finished(started(["prepare", SLUG], around)).split()[-1]
    writers = [started([SLUG, member, str(EACH)], around) for _ in range(PROCESSES)]
    for writer in writers:
        assert writer.stdout.readline() == "ready\n", writer.stderr.read()
    for writer in writers:
        writer.stdin.write("go\n")
        writer.stdin.flush()
    for writer in writers:
        finished(writer)
    lines = finished(started(["report", SLUG], around)).splitlines()
    found = dict(line.split(" ", 1) for line in lines)
    turns = int(found.pop("turns"))
    assert turns >= PROCESSES, "they wrote one after the other, which proves nothing"
    return found


EXPECTED = {
    "entries": "200",
    "gap-free": "True",
    "size": "200",
    "different-words": "200",
    "acts": "200",
    "fits": "True",
}


def test_four_processes_write_two_hundred_entries_into_one_sqlite_file(tmp_path):
    found = many_write(environment(REGISTRY_VAR=str(tmp_path)))
    # 2 is FULL: https://www.sqlite.org/pragma.html#pragma_synchronous
    durable = {"engine": "sqlite", "synchronous": "2", "journal": "wal"}
    assert found == EXPECTED | durable


@pytest.fixture
def postgresql_database(django_db_setup, django_db_blocker) -> Iterator[str]:
    """The address of an empty database beside the one of this run."""
    if connection.vendor != "postgresql":
        pytest.skip("this run is on SQLite; make test-postgres runs it on PostgreSQL")
    name = f"writers_{uuid.uuid4().hex[:12]}"
    with django_db_blocker.unblock():
        with connection.cursor() as cursor:
            cursor.execute(f"CREATE DATABASE {name}")
        yield urlsplit(os.environ["REGISTRY_DATABASE"])._replace(path=f"/{name}").geturl()
        with connection.cursor() as cursor:
            cursor.execute(f"DROP DATABASE {name}")


def test_four_processes_write_two_hundred_entries_into_one_postgresql(
    postgresql_database, tmp_path
):
    around = environment(REGISTRY_VAR=str(tmp_path), REGISTRY_DATABASE=postgresql_database)
    assert many_write(around) == EXPECTED | {"engine": "postgresql"}

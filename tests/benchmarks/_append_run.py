"""Appends and bare inserts in turn on two files of one disk; prints seconds as JSON.

A program of its own: it needs settings and a database file that no other measurement shares.
`python -m tests.benchmarks._append_run FOLDER`
"""

import json
import os
import sqlite3
import sys
from pathlib import Path
from secrets import token_hex
from time import perf_counter, process_time

ROUNDS, ACTS = 5, 100
BARE = "CREATE TABLE entry (number INTEGER PRIMARY KEY, kind TEXT, facts TEXT, leaf TEXT)"


def main(folder: Path) -> None:
    """Measure in turn, so that a slow moment of the disk meets both."""
    bare, ours = bare_writer(folder), book_writer(folder)
    ours(10)  # templates of queries, zone data and modules are loaded once
    seconds = [(bare(ACTS), *ours(ACTS)) for _ in range(ROUNDS)]
    print(json.dumps({"acts": ACTS, "seconds": seconds, "sync": synchronous()}))


def bare_writer(folder: Path):
    """One row and one commit at a time, with the journal and the durability of the site."""
    connection = sqlite3.connect(folder / "bare.sqlite3", isolation_level=None)
    connection.execute("PRAGMA journal_mode = WAL")
    connection.execute("PRAGMA synchronous = FULL")
    connection.execute(BARE)
    row = ("moved", '{"to":"P-001","manner":"carried","holder":""}', "0" * 64)

    def write(acts: int) -> float:
        started = perf_counter()
        for _ in range(acts):
            connection.execute("BEGIN IMMEDIATE")
            connection.execute("INSERT INTO entry (kind, facts, leaf) VALUES (?, ?, ?)", row)
            connection.execute("COMMIT")
        return perf_counter() - started

    return write


def book_writer(folder: Path):
    """One act with one entry at a time: a move of a piece, with all that follows from it."""
    os.environ["REGISTRY_VAR"] = str(folder)
    os.environ["DJANGO_SETTINGS_MODULE"] = "registry.settings"
    # As a site for others runs: with DEBUG, Django writes down every statement again.
    os.environ |= {"REGISTRY_SECRET_KEY": token_hex(32), "REGISTRY_HOSTS": "localhost"}
    import django

    django.setup()
    from django.core.management import call_command

    from collection.core.events.moved import Moved
    from collection.ledger.actions import open_book
    from collection.ledger.telling import Telling
    from tests.builders import a_collection, a_member

    call_command("migrate", verbosity=0)
    collection = a_collection()
    member = a_member(collection)
    with open_book(collection, member) as book:
        book.new_subject("piece", "A-007")
        places = [book.new_subject("place", f"P-00{number}").code for number in (1, 2)]

    def write(acts: int) -> tuple[float, float]:
        started, busy = perf_counter(), process_time()
        for number in range(acts):
            with open_book(collection, member) as book:
                moved = Moved(to=places[number % 2])
                book.append(moved, "A-007", Telling(happened="2026-01-02", words="stage left"))
        return perf_counter() - started, process_time() - busy

    return write


def synchronous() -> int:
    """What the site's own connection says of its durability: 2 is FULL."""
    from django.db import connection

    with connection.cursor() as cursor:
        return cursor.execute("PRAGMA synchronous").fetchone()[0]


if __name__ == "__main__":
    main(Path(sys.argv[1]))

"""A process that writes into a book: `python -m tests.ledger.writers SLUG MEMBER ENTRIES`.

`python -m tests.ledger.writers prepare SLUG` makes the tables, a collection and a member. Which
database it is comes from the environment, as for the site itself.
"""

import os
import sys
import time
from itertools import pairwise


def prepare(slug: str) -> None:
    """Tables, a collection with a piece, and a member; prints the member's code."""
    from django.core.management import call_command

    from collection.ledger.actions import open_book
    from tests.builders import a_collection, a_member

    call_command("migrate", verbosity=0)
    collection = a_collection(slug=slug)
    member = a_member(collection)
    with open_book(collection, member) as book:
        book.new_subject("piece", "A-007")
    print(member.code)


def write(slug: str, member: str, entries: int) -> None:
    """So many notes on the piece, each an act of its own, once a line comes in."""
    from collection.ledger.actions import note
    from collection.ledger.telling import Telling
    from registry.access.models import Membership

    by = Membership.objects.select_related("collection").get(collection__slug=slug, code=member)
    print("ready", flush=True)
    sys.stdin.readline()
    for number in range(entries):
        # SQLite's wait for the lock favours who had it last; a breath lets the others in.
        time.sleep(0.004)
        told = Telling(words=f"{os.getpid()} wrote {number}", happened="2026-01-02")
        note(collection=by.collection, by=by, subject="A-007", telling=told)


def report(slug: str) -> None:
    """What the book holds afterwards, as lines `name value`."""
    from django.db import connection

    from collection.ledger import proof
    from collection.ledger.models import Event, Head
    from registry.access.models import Collection

    collection = Collection.objects.get(slug=slug)
    events = Event.objects.of(collection).order_by("sequence")
    numbers = list(events.values_list("sequence", flat=True))
    print("engine", connection.vendor)
    print("entries", len(numbers))
    print("gap-free", numbers == list(range(len(numbers))))
    print("size", Head.objects.of(collection).get().size)
    print("different-words", events.values("words").distinct().count())
    writers = [words.split()[0] for words in events.values_list("words", flat=True)]
    print("turns", sum(one != next_one for one, next_one in pairwise(writers)))
    print("acts", events.values("act").distinct().count())
    print("fits", proof.verify(collection).fits)
    if connection.vendor == "sqlite":
        with connection.cursor() as cursor:
            print("synchronous", cursor.execute("PRAGMA synchronous").fetchone()[0])
            print("journal", cursor.execute("PRAGMA journal_mode").fetchone()[0])


if __name__ == "__main__":
    import django

    django.setup()
    task, *given = sys.argv[1:]
    if task == "prepare":
        prepare(*given)
    elif task == "report":
        report(*given)
    else:
        write(task, given[0], int(given[1]))

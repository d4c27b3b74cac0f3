"""The few statements of every append, written once as SQL and kept.

An append is five statements; building each of them anew through querysets costs three times what
the database takes (`make bench`, append). Values still pass through the fields, so that both
engines are given what the ORM would give them; fields that set themselves on saving have no place
in these tables. Everything else reads and writes through the ORM.
"""

import json
from collections.abc import Iterator, Sequence
from functools import cache

from django.db import DEFAULT_DB_ALIAS, connection, connections, models, transaction

from collection.ledger.models import Head, State, Subject
from registry.access.models import Collection

PARAMETERS = 10_000  # in one statement, where the engine names no limit of its own


def locked_head(collection: Collection) -> Head | None:
    """The head of a book, locked until the transaction ends; None when the book is new."""
    if not connection.in_atomic_block:
        raise transaction.TransactionManagementError("a book is opened inside a transaction")
    lock = " FOR UPDATE" if connection.features.has_select_for_update else ""
    statement = f"SELECT size, frontier FROM {_table(Head)} WHERE collection_id = %s{lock}"
    with connection.cursor() as cursor:
        cursor.execute(statement, [collection.pk])
        row = cursor.fetchone()
    return Head(collection=collection, size=row[0], frontier=json.loads(row[1])) if row else None


def keep_head(head: Head) -> None:
    """Write a head's size and frontier."""
    statement = f"UPDATE {_table(Head)} SET size = %s, frontier = %s WHERE collection_id = %s"
    frontier = Head._meta.get_field("frontier").get_db_prep_save(head.frontier, connection)
    with connection.cursor() as cursor:
        cursor.execute(statement, [head.size, frontier, head.collection_id])


def subjects(
    collection: Collection, codes: set[str]
) -> Iterator[tuple[Subject, tuple[dict, int, int] | None]]:
    """Subjects by code, each with its state's detail, where its history ends and how."""
    marks = ", ".join(["%s"] * len(codes))
    statement = (
        "SELECT one.id, one.code, one.kind, state.detail, state.last_placed_us, state.last_entry "
        f"FROM {_table(Subject)} one LEFT JOIN {_table(State)} state ON state.subject_id = one.id "
        f"WHERE one.collection_id = %s AND one.code IN ({marks})"
    )
    with connection.cursor() as cursor:
        cursor.execute(statement, [collection.pk, *codes])
        found = cursor.fetchall()
    for pk, code, kind, detail, placed_us, number in found:
        subject = Subject(pk=pk, collection=collection, code=code, kind=kind)
        _stored(subject)
        yield subject, None if detail is None else (json.loads(detail), placed_us, number)


def insert(rows: Sequence[models.Model], *, tell_apart_by: str = "") -> None:
    """Insert rows of one model; with a field that tells them apart, each learns its key."""
    told = f' RETURNING "{tell_apart_by}", id' if tell_apart_by else ""
    keys: dict[object, int] = {}
    for part in _parts(rows):
        keys.update(_run(part, told))
    for row in rows if tell_apart_by else ():
        row.pk = keys[getattr(row, tell_apart_by)]
        _stored(row)


def upsert(rows: Sequence[models.Model], key: str, columns: Sequence[str]) -> None:
    """Insert rows of one model, or write these columns over where the key is there already."""
    changes = ", ".join(f'"{column}" = EXCLUDED."{column}"' for column in columns)
    for part in _parts(rows):
        _run(part, f' ON CONFLICT ("{key}") DO UPDATE SET {changes}')


def _run(rows: Sequence[models.Model], tail: str) -> list[tuple]:
    fields = _fields(type(rows[0]))
    engine = connections[DEFAULT_DB_ALIAS]  # the proxy `connection` looks it up at every touch
    values = [
        field.get_db_prep_save(getattr(row, field.attname), engine)
        for row in rows
        for field in fields
    ]
    with engine.cursor() as cursor:
        cursor.execute(_insertion(type(rows[0]), len(rows)) + tail, values)
        return cursor.fetchall() if "RETURNING" in tail else []


@cache
def _insertion(model: type[models.Model], count: int) -> str:
    names = [field.column for field in _fields(model)]
    columns = ", ".join(f'"{name}"' for name in names)
    row = f"({', '.join(['%s'] * len(names))})"
    return f"INSERT INTO {_table(model)} ({columns}) VALUES {', '.join([row] * count)}"


@cache
def _fields(model: type[models.Model]) -> tuple[models.Field, ...]:
    concrete = model._meta.concrete_fields
    return tuple(field for field in concrete if not isinstance(field, models.AutoField))


def _parts(rows: Sequence[models.Model]) -> Iterator[Sequence[models.Model]]:
    """Rows in parts that fit the engine's limit of parameters."""
    if not rows:
        return
    most = connection.features.max_query_params or PARAMETERS
    size = max(1, most // len(_fields(type(rows[0]))))
    for start in range(0, len(rows), size):
        yield rows[start : start + size]


def _stored(row: models.Model) -> None:
    row._state.adding, row._state.db = False, DEFAULT_DB_ALIAS


def _table(model: type[models.Model]) -> str:
    return f'"{model._meta.db_table}"'

"""Bringing an inventory in: a run is started, its columns are chosen, its rows become pieces."""

import hashlib
from collections.abc import Iterable, Mapping
from typing import Any

from django.db import transaction

from collection.catalogue.models import ImportRun
from collection.catalogue.spreadsheet.cells import CONTROL
from collection.catalogue.spreadsheet.columns import propose
from collection.catalogue.spreadsheet.plan import ImportPlan
from collection.catalogue.spreadsheet.planned import RefusedRow
from collection.catalogue.spreadsheet.reading import Table, read_table
from collection.custody.importing.entering import Taken, enter
from collection.custody.importing.mending import without_reasons
from collection.custody.importing.naming import Naming
from collection.custody.importing.queries import known_in
from collection.custody.importing.whereabouts import place_spellings
from collection.ledger.actions import open_book
from registry.access.models import Collection, Membership

CHUNK = 250  # pieces in one transaction: nobody waits for the book longer than that takes
NAME_LENGTH = 120


def start(*, collection: Collection, by: Membership | str, data: bytes, name: str) -> ImportRun:
    """Keep a file with a proposal of what its columns mean; raises TableRefused."""
    table = without_reasons(read_table(data, name=name))
    return ImportRun.objects.create(
        collection=collection,
        file_name=_storable(name)[-NAME_LENGTH:],
        sha256=hashlib.sha256(data).hexdigest(),
        data=data,
        mapping={str(index): field for index, field in propose(table).items()},
        added_by=by if isinstance(by, str) else by.code,
    )


@transaction.atomic
def choose_columns(run: ImportRun, *, mapping: Mapping[int, str]) -> ImportRun:
    """Keep which column is what, as a person decided."""
    run.mapping = {str(index): field for index, field in mapping.items() if field}
    run.save(update_fields=["mapping"])
    return run


@transaction.atomic
def discard(run: ImportRun) -> None:
    """Let go of a run that brought nothing in."""
    unused = ImportRun.objects.of(run.collection).filter(pk=run.pk, result={})
    unused.filter(status=ImportRun.Status.PREVIEW).delete()


def bring_in(
    *,
    run: ImportRun,
    by: Membership | str,
    plan: ImportPlan,
    table: Table,
    at_most: int | None = None,
) -> ImportRun:
    """Make pieces of the planned rows, a chunk a transaction; the last chunk closes the run.

    A crash leaves whole chunks; planned again, their rows are in already. With `at_most` the run
    stays open when rows are left over.
    """
    naming = _naming(run.collection, by, plan)
    rows = plan.pieces[:at_most]
    for at in range(0, len(rows) or 1, CHUNK):
        is_last = at + CHUNK >= len(rows) == len(plan.pieces)
        with open_book(run.collection, by) as book:
            run = ImportRun.objects.of(run.collection).select_for_update().get(pk=run.pk)
            if run.status == ImportRun.Status.DONE:
                return run
            taken = enter(book, rows[at : at + CHUNK], naming, file_name=run.file_name)
            run.result = _with(run.result, taken, plan)
            if is_last:
                _close(run, plan, table)
            run.save(update_fields=["result", "status", "data"])
    return run


def _naming(collection: Collection, by: Membership | str, plan: ImportPlan) -> Naming:
    known = known_in(collection)
    known.codes.update(row.code for row in plan.pieces)
    return Naming(collection, by, known, place_spellings(plan.pieces))


def _with(result: Mapping[str, Any], taken: Taken, plan: ImportPlan) -> dict[str, Any]:
    """What the run has done so far, and what this chunk did."""
    rows = {row.row: row for row in taken.rows}
    cells = [
        {"row": cell.row, "code": rows[cell.row].code, "column": cell.column, "text": cell.text,
         "reason": cell.reason}
        for cell in plan.cells_not_taken if cell.row in rows
    ]  # fmt: skip
    tags = [
        {"row": row.row, "code": row.code, "reason": row.tag_out.reason}
        for row in taken.rows
        if row.tag_out
    ]
    return {
        "pieces": result.get("pieces", 0) + len(rows),
        "cells_not_taken": [*result.get("cells_not_taken", ()), *cells],
        "tag_outs": [*result.get("tag_outs", ()), *tags],
        "refused_rows": [*result.get("refused_rows", ()), *_shown(taken.refused)],
        # Of an earlier run: what this run brought in before is in already by its own doing.
        "already_in": result.get("already_in", len(plan.already_in)),
    }


def _shown(refused: Iterable[RefusedRow]) -> list[dict[str, Any]]:
    return [{"row": row.row, "reason": row.reason, "text": row.text} for row in refused]


def _close(run: ImportRun, plan: ImportPlan, table: Table) -> None:
    """Keep the refused rows with their cells, and let go of the file: it has done its work."""
    refused = {row["row"]: row for row in run.result["refused_rows"]}
    refused |= {row["row"]: row for row in _shown(plan.refused_rows)}
    for row in table.rows:
        if row.number in refused:
            refused[row.number]["cells"] = [_storable(cell) for cell in row.cells]
            refused[row.number]["text"] = _storable(row.text)
    run.result |= {
        "refused_rows": [refused[number] for number in sorted(refused)],
        "blank_rows": len(plan.blank_rows),
        "headings": [_storable(heading) for heading in table.headings],
    }
    run.status, run.data = ImportRun.Status.DONE, b""


def _storable(text: str) -> str:
    """Text with a visible sign for what not every database takes."""
    return CONTROL.sub("\ufffd", text)

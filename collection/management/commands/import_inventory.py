"""Bring an inventory in from a spreadsheet file, and name everything that was not taken."""

import json
from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.core.exceptions import ValidationError
from django.core.management.base import BaseCommand, CommandError
from django.db import transaction

from collection.catalogue.models import ImportRun
from collection.catalogue.spreadsheet.reading import TableRefused
from collection.custody.importing import actions, queries
from registry import clock
from registry.access.actions import open_collection
from registry.access.models import Collection
from registry.access.queries import collection_at, every_collection

BY = "import"


class Command(BaseCommand):
    """`manage.py import_inventory FILE`: columns are read as the page proposes them."""

    help = __doc__

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("file", metavar="FILE", help=".csv or .xlsx")
        parser.add_argument("--collection", metavar="SLUG", help="else the only one")
        parser.add_argument("--create", action="store_true", help="make it when there is none")
        parser.add_argument("--json", action="store_true", help="print one JSON object")

    def handle(self, **options: Any) -> None:
        data = self._read(Path(options["file"]))
        name = Path(options["file"]).name
        try:
            with transaction.atomic():  # a file that cannot be read leaves no collection behind
                collection = self._collection(options["collection"], create=options["create"])
                run = actions.start(collection=collection, by=BY, data=data, name=name)
        except TableRefused as refused:
            raise CommandError(refused.reason) from refused
        run, remarks = self._bring_in(run)
        self.stdout.write(_as_json(run) if options["json"] else _summary(run, remarks))

    def _read(self, path: Path) -> bytes:
        try:
            return path.read_bytes()
        except OSError as error:
            raise CommandError(f"{path} cannot be read: {error.strerror}.") from error

    def _collection(self, slug: str | None, *, create: bool) -> Collection:
        there = every_collection()
        if slug is None:
            if len(there) == 1:
                return there[0]
            if there:
                slugs = ", ".join(collection.slug for collection in there)
                raise CommandError(f"Say which with --collection SLUG; there are {slugs}.")
            if not create:
                raise CommandError("There is no collection yet; --create makes one.")
            slug = "gear"
        if found := collection_at(slug):
            return found
        if not create:
            raise CommandError(f"There is no collection {slug}; --create makes it.")
        return self._make(slug)

    def _make(self, slug: str) -> Collection:
        try:
            return open_collection(name=slug.replace("-", " ").capitalize(), slug=slug)
        except ValidationError as error:
            raise CommandError(f"{slug}: {' '.join(error.messages)}") from error

    def _bring_in(self, run: ImportRun) -> tuple[ImportRun, tuple[str, ...]]:
        table = queries.table_of(run)
        today = clock.today(run.collection.zone_info)
        plan = queries.plan_of(run, table, today=today)
        return actions.bring_in(run=run, by=BY, plan=plan, table=table), plan.remarks


def _as_json(run: ImportRun) -> str:
    result = run.result
    said = {
        "pieces": result["pieces"],
        "refused_rows": [_of(row, "row", "reason") for row in result["refused_rows"]],
        "cells_not_taken": [
            _of(cell, "row", "column", "text", "reason") for cell in result["cells_not_taken"]
        ],
        "already_in": result["already_in"],
    }
    return json.dumps(said, ensure_ascii=False, indent=1)


def _of(row: dict[str, Any], *names: str) -> dict[str, Any]:
    return {name: row[name] for name in names}


def _summary(run: ImportRun, remarks: tuple[str, ...]) -> str:
    result = run.result
    refused = [f"  row {row['row']}: {row['reason']}" for row in result["refused_rows"]]
    cells = [
        f"  row {cell['row']}, {cell['code']}, {cell['column']}: {cell['text']!r}: {cell['reason']}"
        for cell in result["cells_not_taken"]
    ]
    tags = [f"  {tag['code']}: {tag['reason']}" for tag in result["tag_outs"]]
    lines = [
        f"{run.collection.slug}: {result['pieces']} pieces from {run.file_name}, "
        f"{result['already_in']} rows in already.",
        *remarks,
        f"Rows refused: {len(refused)}",
        *refused,
        f"Cells not taken, their text kept in the notes: {len(cells)}",
        *cells,
        f"DO NOT POWER proposed, for a person to hang or drop: {len(tags)}",
        *tags,
    ]
    return "\n".join(lines)

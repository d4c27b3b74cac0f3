"""A list as a file: its columns, who may have which, and its rows as text."""

import csv
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from datetime import date
from typing import Any

from django.http import QueryDict

from collection.core.cells import BOM, Cell, row
from registry.access.models import Membership


@dataclass(frozen=True)
class Asked:
    """Who asks for a list, what narrows it, and what day it is."""

    member: Membership
    query: QueryDict
    today: date


@dataclass(frozen=True)
class Column:
    """A heading and what stands under it; `confidential` only for who records."""

    heading: str
    of: Callable[[Any], Cell]
    confidential: bool = False


@dataclass(frozen=True)
class Listing:
    """A list: its name in addresses, what it is called, its columns, its rows."""

    name: str
    title: str
    columns: tuple[Column, ...]
    rows: Callable[[Asked], Iterable[Any]]

    def shown_to(self, member: Membership) -> list[Column]:
        """The columns this member may have."""
        return [one for one in self.columns if member.records or not one.confidential]


class Line:
    """What a csv writer writes to when each line is sent at once."""

    def write(self, text: str) -> str:
        """Hand the line on."""
        return text


def as_csv(listing: Listing, asked: Asked) -> Iterator[str]:
    """The file line by line: RFC 4180 with headings, in UTF-8 behind a byte order mark.

    The mark is not asked for by any standard of CSV; without it the common spreadsheet programs
    read UTF-8 as their old local encoding, and our own import reads both.
    """
    shown = listing.shown_to(asked.member)
    writer = csv.writer(Line())
    yield BOM + writer.writerow([one.heading for one in shown])
    for found in listing.rows(asked):
        yield writer.writerow(row(one.of(found) for one in shown))

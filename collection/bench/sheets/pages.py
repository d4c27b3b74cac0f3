"""What the pages of sheets show, put together from a fixed number of queries."""

import secrets
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date

from collection.bench.sheets import queries
from collection.bench.sheets.queries import WORDS, Beside, Sheet
from collection.catalogue.models import Piece
from collection.core.sheet_layout import SETTINGS
from collection.ledger.telling import Telling
from registry import clock
from registry.access.models import Collection, Membership


@dataclass(frozen=True)
class KindPage:
    """The sheets of one kind: the last good one, the newest, the two last nights."""

    kind: str
    sheets: list[Sheet]
    once: str = field(default_factory=lambda: secrets.token_hex(16))

    @property
    def word(self) -> str:
        """The kind in an address and on the page."""
        return WORDS[self.kind]

    @property
    def newest(self) -> Sheet | None:
        """The newest sheet."""
        return self.sheets[0] if self.sheets else None

    @property
    def good(self) -> Sheet | None:
        """The sheet of the last night without trouble."""
        return queries.last_good(self.sheets, self.kind)

    @property
    def nights(self) -> Beside | None:
        """The two newest beside each other."""
        if len(self.sheets) < 2:
            return None
        return queries.beside(self.sheets[1], self.sheets[0])

    @property
    def photos(self) -> list[tuple[Sheet, object]]:
        """Photos of the tape marks, the newest sheet's first."""
        return [(sheet, photo) for sheet in self.sheets[:3] for photo in sheet.photos]

    @property
    def reasons(self) -> list[Sheet]:
        """The newest sheets that say why something moved."""
        return [sheet for sheet in self.sheets[:4] if sheet.event.words]


@dataclass(frozen=True)
class SheetsPage:
    """All sheets of a piece, and how pieces of its design stand."""

    piece: Piece
    kinds: list[KindPage]
    others: list[Beside]

    @property
    def main(self) -> KindPage:
        """The kind the page opens with: the first that has a sheet."""
        return next((one for one in self.kinds if one.sheets), self.kinds[0])

    @property
    def rest(self) -> list[KindPage]:
        """The other kinds."""
        return [one for one in self.kinds if one is not self.main]

    @property
    def sheets(self) -> list[Sheet]:
        """Every sheet, newest first."""
        found = [sheet for one in self.kinds for sheet in one.sheets]
        return sorted(found, key=lambda one: (one.event.placed_us, one.event.sequence),
                      reverse=True)  # fmt: skip


@dataclass(frozen=True)
class ComparePage:
    """What can be chosen, what was, and the two beside each other."""

    own: list[Sheet]
    others: list[Sheet]
    beside: Beside | None

    @property
    def choose(self) -> list[tuple[str, str, int | None]]:
        """(field, its label, the entry chosen) of both sides."""
        sides = (self.beside.was, self.beside.now) if self.beside else (None, None)
        names = (("was", "On the left"), ("now", "On the right"))
        return [
            (name, words, side.event.sequence if side else None)
            for (name, words), side in zip(names, sides, strict=True)
        ]


def page_of(piece: Piece, member: Membership) -> SheetsPage:
    """The sheets page of a piece; twelve queries at most."""
    found = queries.sheets_of(piece, member)
    kinds = [
        KindPage(kind, [one for one in found if one.event.kind == kind])
        for kind in queries.kinds_for(piece)
    ]
    settings = kinds[0].newest
    others = queries.comparable(piece, member) if settings else []
    return SheetsPage(piece, kinds, [queries.beside(settings, one) for one in others if settings])


def comparison(piece: Piece, member: Membership, *, chosen: Mapping[str, str]) -> ComparePage:
    """Two sheets by the numbers in `chosen` ('was', 'now'), else the two newest."""
    own, others = queries.sheets_of(piece, member), queries.comparable(piece, member)
    by_number = {str(one.event.sequence): one for one in [*own, *others]}
    settings = [one for one in own if one.event.kind == SETTINGS] or own
    usual = [*settings[:1], *settings[1:2], *others[:1]]
    now = by_number.get(chosen.get("now", "")) or (usual[0] if usual else None)
    was = by_number.get(chosen.get("was", "")) or (usual[1] if len(usual) > 1 else None)
    if now is None or was is None or now.event.kind != was.event.kind:
        return ComparePage(own, others, None)
    return ComparePage(own, others, queries.beside(was, now))


def started_from(piece: Piece, kind: str, member: Membership, *, asked: str | None) -> Sheet | None:
    """The sheet a new one starts from: the one asked for, else the last good, else the newest."""
    own = [one for one in queries.sheets_of(piece, member) if one.event.kind == kind]
    if asked and asked.isascii() and asked.isdigit():
        other = queries.sheet(piece.collection, int(asked), member)
        if other is not None and other.event.kind == kind:
            return other
    return queries.last_good(own, kind) or (own[0] if own else None)


def show_on(collection: Collection, today: date) -> str:
    """The code of the show of a day, '' where none is."""
    shows = queries.recent_shows(collection, today=today)
    return next((code for code, _, on in shows if on == today), "")


def pressed(collection: Collection, once: str) -> Telling:
    """Now, seen, by who presses."""
    on = clock.today(collection.zone_info).isoformat()
    return Telling(happened=on, once=once[:64] or None)

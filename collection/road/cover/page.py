"""The backup of a whole tour: the grid, what each show survives, and what closes the holes."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime
from itertools import groupby
from typing import Any

from django.db.models import prefetch_related_objects

from collection.core import backup as core
from collection.core.rig_survival import MOST_POSITIONS, Survival, survival
from collection.core.transit_rules import Rules
from collection.road.cover.closing import Closing, closings
from collection.road.cover.spares import Spare, at_show, quotes_to, spares
from collection.road.figures import rules_of
from collection.road.models import RigPosition, Show, Tour
from collection.road.needs import of_piece, positions_of, ready_by
from collection.road.overrides.queries import overrides_at, put_on
from collection.road.sites import Atlas, atlas
from registry.access.models import Collection, Membership


@dataclass(frozen=True)
class Cell:
    """One position at one show: its backup or a hole, in a glyph and words."""

    assignment: core.Assignment
    spare: Spare | None
    stands: str  # where the spare stands for that show, '' for a hole
    plays: str
    tonight: bool  # whether something else than planned plays

    @property
    def mark(self) -> str:
        """The glyph: a hole, too far for the outage accepted, or in time."""
        if self.spare is None:
            return "bare"
        return "ok" if self.assignment.within_outage else "thin"

    @property
    def words(self) -> str:
        """What the glyph means, in the words of the page."""
        if self.spare is None:
            return "shared" if self.assignment.shared_with else "hole"
        return self.assignment.backup

    @property
    def shared(self) -> str:
        """Which positions want the same spare."""
        return ", ".join(self.assignment.shared_with)


@dataclass(frozen=True)
class Night:
    """One show's line of the grid."""

    show: Show
    cells: tuple[Cell | None, ...]
    survives: Survival | None

    @property
    def holes(self) -> int:
        return sum(1 for cell in self.cells if cell and cell.spare is None)


@dataclass(frozen=True)
class Cover:
    """Everything the page of a tour's backup says."""

    positions: tuple[RigPosition, ...]
    nights: tuple[Night, ...]
    closings: tuple[Closing, ...]
    left_out: tuple[str, ...]

    @property
    def holes(self) -> int:
        return sum(night.holes for night in self.nights)

    @property
    def weakest(self) -> int | None:
        """So many may fail together at the weakest show; None without any."""
        return min((n.survives.any_of for n in self.nights if n.survives), default=None)


def cover(collection: Collection, tour: Tour, *, now: datetime, member: Membership | None) -> Cover:
    """The backup of every show still to come; the same queries whatever the size."""
    places, rules = atlas(collection, at=now, tour=tour), rules_of(collection)
    coming = [show for show in places.shows.get(tour.pk, []) if not _over(show, now)]
    shows = [show for show in coming if places.site(show.venue)]
    lost = tuple(f"{s.venue.name}: no town is known for it." for s in coming if s not in shows)
    rows = positions_of(tour)
    if not shows or not rows:
        return Cover(tuple(rows), (), (), lost)
    known = spares(places, tour, rows, member=member)
    night = _Nights(places, rules, rows, known, overrides_at(shows), quotes_to(places))
    nights = tuple(night.of(shows))
    return Cover(tuple(rows), nights, closings(nights, known, rows), lost)


def _over(show: Show, now: datetime) -> bool:
    end = show.instant("off_stage") or show.instant("on_stage")
    return end < now if end else show.on < now.astimezone(show.zone).date()


class _Nights:
    """Works the shows out, those alike together: positions and spares are then made once."""

    def __init__(self, places: Atlas, rules: Rules, rows, known, overrides, quotes) -> None:
        self.places, self.rules, self.rows = places, rules, rows
        self.known: Mapping[str, Spare] = known
        self.overrides, self.quotes = overrides, quotes
        pieces = [p for row in rows for p in (row.piece, row.backup) if p]
        pieces += [row.piece for row in overrides.values() if row.piece]
        prefetch_related_objects(pieces, "circuit__close_to")
        self.common = [spare.candidate for spare in known.values()]

    def of(self, shows: list[Show]) -> Iterable[Night]:
        for own, several in groupby(shows, key=self._apart):
            yield from self._together(list(several), own)

    def _apart(self, show: Show) -> int:
        """Shows with changes of their own stand alone; the rest are 0."""
        changed = any(show_pk == show.pk for show_pk, _ in self.overrides)
        return show.pk if changed or show.fly_date or show.venue_id in self.quotes else 0

    def _together(self, shows: list[Show], own: int) -> Iterable[Night]:
        plain = [(row.piece, row.backup) for row in self.rows]
        put_on(self.rows, shows[0], self.overrides if own else {})
        asked = {row.number: self._position(row) for row in self.rows}
        tonight = {row.number: row for row in self.rows}
        plays = {n: (_plays(row), row.tonight is not None) for n, row in tonight.items()}
        candidates = self._candidates(shows[0]) if own else self.common
        found = core.rig_backup(
            [self._show(show) for show in shows], [p for p in asked.values() if p], candidates,
            self.rules,
        )  # fmt: skip
        by_place = {(each.show, each.position): each for each in found}
        stands = {candidate.code: candidate.stands for candidate in candidates}
        for row, (piece, backup) in zip(self.rows, plain, strict=True):
            row.piece, row.backup = piece, backup
        for show in shows:
            yield self._night(show, by_place, plays, stands)

    def _candidates(self, show: Show) -> list[core.Candidate]:
        hired = {
            row.tonight.outside.code for row in self.rows if row.tonight and row.tonight.outside
        }
        found = at_show(self.known, show, self.places, self.quotes.get(show.venue_id, []))
        return [candidate for candidate in found if candidate.code not in hired]

    def _night(self, show: Show, by_place: Mapping, plays: Mapping, stands: Mapping) -> Night:
        found = [by_place.get((str(show.pk), str(row.number))) for row in self.rows]
        cells = [
            self._cell(each, stands, *plays[row.number]) if each else None
            for each, row in zip(found, self.rows, strict=True)
        ]
        usable = {str(each.position): frozenset(each.usable) for each in found if each}
        fits = 0 < len(usable) <= MOST_POSITIONS
        return Night(show, tuple(cells), survival(usable) if fits else None)

    def _cell(self, each: core.Assignment, stands: Mapping, plays: str, tonight: bool) -> Cell:
        code = each.backup or ""
        return Cell(each, self.known.get(code), stands.get(code, ""), plays, tonight)

    def _show(self, show: Show) -> core.Show:
        now = self.places.at
        end = show.instant("off_stage")
        by = max(ready_by(show, now=now), now)
        return core.Show(
            name=str(show.pk), at=self.places.site(show.venue), now=now, ready_by=by,
            until=end if end and end > by else None,
            mains_volts=show.mains_volts, mains_hz=show.mains_hz,
        )  # fmt: skip

    def _position(self, row: RigPosition) -> core.Position | None:
        failed = row.piece or row.backup
        if failed is None:
            return None
        facts: dict[str, Any] = of_piece(failed, row)
        return core.Position(
            name=str(row.number), outage_minutes=row.outage_minutes,
            accepted=tuple(row.accepted), emergency=tuple(row.emergency), never=tuple(row.never),
            **facts,
        )  # fmt: skip


def _plays(row: RigPosition) -> str:
    if row.tonight is not None and row.tonight.outside is not None:
        return f"{row.tonight.outside.code} hired"
    return row.piece.code if row.piece else "no piece"

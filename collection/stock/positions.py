"""The positions that eat a type: where it is fitted or fits, and what waits beside the stage."""

import re
from collections import Counter
from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace
from datetime import date

from collection.catalogue.models import Position
from collection.stock.lives import PartLife
from collection.stock.models import PartType
from collection.stock.records import Home, ShowPlayed, TypeStock

RECENT_DAYS = 366  # a piece that played nothing for so long stands by (house rule)


@dataclass(frozen=True)
class Feed:
    """One position, or one set of positions fed together, of one piece."""

    piece: str
    called: str
    name: str
    grade: str
    hours: float
    part: str
    rests: str  # why it uses nothing up at present; '' when it does
    share: float = 1.0  # of the shows of the last year that its piece played

    @property
    def plays(self) -> str:
        """How much it plays, in words."""
        if self.rests:
            return self.rests
        return "every show" if self.share > 0.995 else f"{100 * self.share:.0f} of 100 shows"

    @property
    def words(self) -> str:
        """As said: 'A-007 output'."""
        return f"{self.piece} {self.name}"


def names_in(said: str) -> set[str]:
    """Names of positions as somebody said them.

    >>> sorted(names_in("V4 and V5"))
    ['V4', 'V4 and V5', 'V5']
    """
    return {said, *re.split(r"\s*[,+&/]\s*|\s+and\s+", said)} - {""}


def feeds_of(
    stock: TypeStock,
    lives: Sequence[PartLife],
    shows: Sequence[ShowPlayed],
    *,
    today: date,
) -> list[Feed]:
    """Every position the stock feeds, piece by piece; pieces without any are left out."""
    by_day = stock.lead.clock == PartType.Clock.DAYS  # ages whether it is played or not
    played = {} if by_day else _shares(shows, today)
    fitted = [life for life in lives if life.fitted_in]
    found: list[Feed] = []
    for home in stock.shelf.homes:
        here = [life for life in fitted if life.fitted_in == home.code]
        feeds = _feeds(home, stock, here, rests=_rests(home, played.keys()))
        found += [replace(feed, share=played.get(home.code, 1.0)) for feed in feeds]
    return found


def _shares(shows: Sequence[ShowPlayed], today: date) -> dict[str, float]:
    """Part of the last year's shows that each piece played; sessions count for nothing here.

    What was on in sessions only stands by, unless nothing but sessions has been logged.
    """
    recent = [show for show in shows if show.pieces and _recent(show, today)]
    stages = [show for show in recent if not show.session]
    if not stages:
        return {code: 1.0 for show in recent for code in show.pieces}
    counted = Counter(code for show in stages for code in show.pieces)
    return {code: many / len(stages) for code, many in counted.items()}


def share_with_two(codes: Collection[str], shows: Sequence[ShowPlayed], today: date) -> float:
    """Part of the last year's shows in which two or more of these were on; 1 without any show."""
    stages = [s for s in shows if s.pieces and not s.session and _recent(s, today)]
    return sum(len(s.pieces & set(codes)) > 1 for s in stages) / len(stages) if stages else 1.0


def _recent(show: ShowPlayed, today: date) -> bool:
    return show.on is not None and (today - show.on).days <= RECENT_DAYS


def _rests(home: Home, played: Collection[str]) -> str:
    if home.away:
        return home.away
    return "stands by, no show in the last year" if played and home.code not in played else ""


def _feeds(home: Home, stock: TypeStock, here: list[PartLife], *, rests: str) -> list[Feed]:
    waiting = list(here)
    feeds = []
    for name, positions in _groups(home.positions, stock).items():
        names = {name, *(position.name for position in positions)}
        mine = [life for life in waiting if names_in(life.position) & names]
        waiting = [life for life in waiting if life not in mine]
        sets = -(-len(positions) // stock.lead.set_size)
        for number in range(sets):
            life = mine[number] if number < len(mine) else None
            said = f"{name} {number + 1}" if sets > 1 else name
            feeds.append(_feed(home, said, positions[0].grade, life, rests))
    feeds += [
        _feed(home, life.position or "position not named", "", life, rests) for life in waiting
    ]
    return feeds


def _groups(positions: Sequence[Position], stock: TypeStock) -> dict[str, list[Position]]:
    """Positions by the name of what is fed together: a set, or the position itself."""
    groups: dict[str, list[Position]] = {}
    for position in positions:
        if stock.codes & set(position.fits):
            together = position.matched_with if stock.lead.set_size > 1 else ""
            groups.setdefault(together or position.name, []).append(position)
    return groups


def _feed(home: Home, name: str, grade: str, life: PartLife | None, rests: str) -> Feed:
    return Feed(
        piece=home.code,
        called=home.called,
        name=name,
        grade=grade,
        hours=life.hours if life else 0.0,
        part=life.part if life else "",
        rests=rests,
    )

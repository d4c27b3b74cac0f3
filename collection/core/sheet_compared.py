"""Two sheets side by side: what moved, what stands on one of them only."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from collection.core.fold_text import folded
from collection.core.sheet_layout import Layout, with_own_lines

Pairs = Sequence[tuple[str, str]]


@dataclass(frozen=True)
class ComparedLine:
    """One line of both sheets; '' where a sheet does not have it."""

    name: str
    was: str
    now: str

    @property
    def moved(self) -> bool:
        """Whether both say something and it is not the same, case and quotes aside."""
        return bool(self.was and self.now) and _plain(self.was) != _plain(self.now)

    @property
    def only_one(self) -> bool:
        """Whether one of the two sheets is silent about it."""
        return bool(self.was) != bool(self.now)


@dataclass(frozen=True)
class ComparedGroup:
    """Lines under a heading of the sheet."""

    heading: str
    lines: tuple[ComparedLine, ...]


@dataclass(frozen=True)
class Comparison:
    """Both sheets in the order of the layout."""

    groups: tuple[ComparedGroup, ...]

    @property
    def lines(self) -> tuple[ComparedLine, ...]:
        """Every line, without headings."""
        return tuple(line for group in self.groups for line in group.lines)

    @property
    def moved(self) -> int:
        """How many lines say another thing."""
        return sum(line.moved for line in self.lines)

    @property
    def same(self) -> bool:
        """Whether nothing moved and neither sheet is silent where the other speaks."""
        return not any(line.moved or line.only_one for line in self.lines)


def compared(was: Pairs, now: Pairs, groups: Layout) -> Comparison:
    """Lay two sheets beside each other; lines that neither has are left out.

    >>> from collection.core.sheet_layout import SETTINGS, layout
    >>> amp = layout(SETTINGS, kind="amplifier", family="head")
    >>> compared([("treble", "1 o'clock")], [("treble", "2 o'clock")], amp).moved
    1
    """
    before, after = dict(was), dict(now)
    names = [*before, *after]
    found = (
        ComparedGroup(group.heading, _lines(before, after, [line.name for line in group.lines]))
        for group in with_own_lines(groups, names)
    )
    return Comparison(tuple(group for group in found if group.lines))


def _lines(
    was: Mapping[str, str], now: Mapping[str, str], names: Sequence[str]
) -> tuple[ComparedLine, ...]:
    return tuple(
        ComparedLine(name, was.get(name, ""), now.get(name, ""))
        for name in names
        if name in was or name in now
    )


def _plain(words: str) -> str:
    return folded(words).replace("’", "'").strip()

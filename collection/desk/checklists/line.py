"""One line of a list: what to do, why, and where it is done."""

from dataclasses import dataclass, replace

from collection.road.models import Tour


@dataclass(frozen=True)
class Line:
    """`key` names reason and thing, so that a tick finds its line again whatever the words say.

    `link`: the name of an address and its codes. `by`, `at`: who ticked it and when, in words.
    """

    key: str
    what: str
    why: str
    link: tuple[str, ...] = ()
    by: str = ""
    at: str = ""

    @property
    def done(self) -> bool:
        """Whether somebody has ticked it."""
        return bool(self.by)

    def ticked(self, by: str, at: str) -> "Line":
        """The line with who and when."""
        return replace(self, by=by, at=at)


@dataclass(frozen=True)
class Group:
    """Lines of one reason, open ones first."""

    title: str
    lines: tuple[Line, ...]
    note: str = ""

    @property
    def open(self) -> int:
        """How many are not ticked."""
        return sum(1 for line in self.lines if not line.done)


@dataclass(frozen=True)
class Checklist:
    """A list of a tour; groups without a line are left out."""

    tour: Tour
    which: str
    title: str
    lead: str
    groups: tuple[Group, ...]

    @property
    def open(self) -> int:
        """How many lines are not ticked."""
        return sum(group.open for group in self.groups)

    @property
    def count(self) -> int:
        """How many lines there are."""
        return sum(len(group.lines) for group in self.groups)

    def has(self, key: str) -> bool:
        """Whether a line of this key stands on it."""
        return any(line.key == key for group in self.groups for line in group.lines)

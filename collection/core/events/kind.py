"""What every kind of event has: facts, names, problems, effect, sentence."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, fields
from typing import Any, ClassVar, Self

from collection.core.entry import Placed
from collection.core.state import State

States = Mapping[str, State]
GONE = frozenset({"stolen", "sold", "disposed", "given_back"})


@dataclass(frozen=True)
class Moment:
    """An entry in its place, with the local day it stands on ('' when unknown)."""

    placed: Placed
    day: str

    @property
    def number(self) -> int:
        """Number of the effective entry."""
        return self.placed.entry.number

    @property
    def by(self) -> str:
        """Member code of who recorded it."""
        return self.placed.entry.recorded_by


@dataclass(frozen=True)
class Kind:
    """Base of all kinds; a kind is one frozen dataclass of facts in one module.

    Facts hold strings, integers below 2**53, booleans, None, lists and dicts with ASCII keys;
    decimals are strings. `observed` says whether it is somebody's observation: an observation is
    never refused, its problems become a Question; a plan with problems is refused.
    """

    kind: ClassVar[str]
    version: ClassVar[int] = 1
    observed: ClassVar[bool] = True
    # Roles in which a thing is only named: `after` leaves its state as it is, whenever it comes.
    bystanders: ClassVar[frozenset[str]] = frozenset()

    def names(self) -> dict[str, str]:
        """Codes named beside the subject, by role."""
        return {}

    def problems(self, states: States) -> tuple[str, ...]:
        """Why this does not fit what the book says; whole sentences, all of them.

        `states` by role: 'subject' and the roles of `names()`.
        """
        return ()

    def after(self, role: str, state: State, moment: Moment) -> State:
        """The state of the thing named in `role` after this; total, never raises."""
        return state

    def sentence(self) -> str:
        """One plain sentence for the life line, without subject code and date."""
        raise NotImplementedError

    def to_facts(self) -> dict[str, Any]:
        """The facts as they go into the book."""
        return {f.name: _plain(getattr(self, f.name)) for f in fields(self)}

    @classmethod
    def from_facts(cls, facts: Mapping[str, Any], version: int = 1) -> Self:
        """The kind from stored facts; `upcast` first when they are of an older version."""
        known = {f.name for f in fields(cls)}
        raised = cls.upcast(facts, version)
        return cls(**{k: _frozen(v) for k, v in raised.items() if k in known})

    @classmethod
    def upcast(cls, facts: Mapping[str, Any], version: int) -> Mapping[str, Any]:
        """Facts of an older version as today's; the book itself is never rewritten."""
        return facts


def gone(state: State, done: str) -> tuple[str, ...]:
    """The contradiction when something the book says has left was `done` something to."""
    if state.standing in GONE:
        return (f"The book says it is {state.standing.replace('_', ' ')}, yet it {done}.",)
    return ()


def powered_under_tag(state: State, done: str) -> tuple[str, ...]:
    """The contradiction when something that must not be powered was."""
    if state.tag and not state.tag.proposed:
        return (f"It carries DO NOT POWER ({state.tag.reason}), yet it {done}.",)
    return ()


def _plain(value: Any) -> Any:
    if isinstance(value, tuple):
        return [_plain(item) for item in value]
    return value


def _frozen(value: Any) -> Any:
    if isinstance(value, list):
        return tuple(_frozen(item) for item in value)
    return value

"""When sockets ask for spares: an event Monte Carlo over positions and cycles.

Model: every position is a renewal process with age replacement. A part lives X hours by its
law, or is pulled at T; each end of min(X, T) asks for one spare. One uniform number decides
each cycle: only those below F(T) are turned into a life, every other cycle is exactly T. The
first cycle is conditional on the age of what is fitted.
Precision: float32. Ends are kept as multiples of T minus what was cut short, so that parts
which are only ever pulled end at exact multiples.
Source: R. E. Barlow and F. Proschan, Mathematical Theory of Reliability (1965), ch. 3
(age replacement), from memory.
"""

import math
from collections.abc import Sequence
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from collection.core.lifetime import Floats, Life, LifeDraws
from collection.core.spares import Socket

Singles = NDArray[np.float32]
Indices = NDArray[np.intp]
# A float32 uniform is never above 1 - 2^-24, so no cumulative hazard above this is drawn.
_MOST_HAZARD = 17.0
_NODES = 4096


class SetLaw(Protocol):
    """Law of the first failure in a set, by cumulative hazard; one row per future or one."""

    def hazard(self, hours: float) -> Floats: ...

    def hours(self, hazard: Floats, futures: Indices) -> Floats: ...


class _WeibullLaw:
    """Weibull laws, one for all or one per future, seen from `burned` hours of age."""

    def __init__(self, shapes: Floats, scales: Floats, burned: float = 0.0) -> None:
        self._shapes, self._scales = shapes, scales
        self._burned = burned
        self._spent = (burned / scales) ** shapes if burned else np.zeros_like(shapes)

    def hazard(self, hours: float) -> Floats:
        if math.isinf(hours):
            return np.full(self._shapes.shape, np.inf)
        with np.errstate(over="ignore"):
            whole = ((hours + self._burned) / self._scales) ** self._shapes
            return np.asarray(whole - self._spent)

    def hours(self, hazard: Floats, futures: Indices) -> Floats:
        several = self._shapes.size > 1
        shapes = self._shapes[futures] if several else self._shapes
        scales = self._scales[futures] if several else self._scales
        with np.errstate(over="ignore"):
            if not self._burned:
                return np.asarray(scales * hazard ** (1.0 / shapes))
            spent = self._spent[futures] if several else self._spent
            return np.asarray(scales * (hazard + spent) ** (1.0 / shapes) - self._burned)


class _TabledLaw:
    """Any law, inverted through a table of its cumulative hazard."""

    def __init__(self, life: Life, set_size: int, highest_hours: float, oldest: float) -> None:
        self._life, self._set_size = life, set_size
        upper = highest_hours
        if math.isinf(upper):
            upper = self._outlived(oldest)
        self._at = np.concatenate(([0.0], upper * np.geomspace(1e-9, 1.0, _NODES)))
        self._hazards = set_size * life.cumulative_hazard(self._at)

    def _outlived(self, oldest: float) -> float:
        """Hours by which whatever can die has died, or a life no tour will see."""
        enough = self.hazard(oldest)[0] + _MOST_HAZARD
        upper = max(oldest, 1.0)
        while self.hazard(upper)[0] < enough and upper < 1e9:
            upper *= 2
        return upper

    def hazard(self, hours: float) -> Floats:
        if math.isinf(hours):
            return np.array([np.inf])
        return np.atleast_1d(self._set_size * self._life.cumulative_hazard(hours))

    def hours(self, hazard: Floats, futures: Indices) -> Floats:
        return np.asarray(np.interp(hazard, self._hazards, self._at, right=np.inf))


def set_law(
    life: Life | LifeDraws, set_size: int, sockets: Sequence[Socket], futures: Indices
) -> SetLaw:
    """The law by which sets of ``set_size`` parts fail, for the futures given."""
    burned = 0.0
    if isinstance(life, LifeDraws):
        draws = futures % len(life)
        shapes, scales = life.shapes[draws], life.scales[draws]
        burned = getattr(life, "burned_hours", 0.0)
    elif life.only_wears:
        shapes, scales = np.array([life.shape]), np.array([life.scale_hours])
    else:
        highest = max(socket.pull_at_hours for socket in sockets)
        oldest = max(socket.hours_on for socket in sockets)
        return _TabledLaw(life, set_size, highest, oldest)
    return _WeibullLaw(shapes, scales * set_size ** (-1.0 / shapes), burned)


class Positions:
    """All positions of some futures, cycle after cycle.

    Args:
        sockets: the positions in use.
        law: how a set fails.
        futures: how many futures.
        rng: source of the one uniform number per cycle.
    """

    def __init__(
        self, sockets: Sequence[Socket], law: SetLaw, *, futures: int, rng: np.random.Generator
    ) -> None:
        self._law, self._rng = law, rng
        pulls = np.array([socket.pull_at_hours for socket in sockets])
        ages = np.minimum([socket.hours_on for socket in sockets], pulls)
        self._pull_span = np.where(np.isinf(pulls), 0.0, pulls)
        self._rate = np.array([1.0 / socket.share for socket in sockets], dtype=np.float32)
        self._used = np.stack([law.hazard(float(age)) for age in ages], axis=-1)
        self._pulled = np.stack([law.hazard(float(pull)) for pull in pulls], axis=-1)
        # Parts that are never pulled have their age taken off each life, where it is exact.
        self._ages = np.where(np.isinf(pulls), ages, 0.0)
        start = (self._ages - ages).astype(np.float32)
        self._last = np.broadcast_to(start, (futures, len(sockets)))
        self._is_first = True

    def ends(self, cycles: int) -> Singles:
        """The next ends of cycles in hours of touring: (futures, positions, cycles)."""
        futures, positions = self._last.shape
        uniforms = self._rng.random((futures, positions, cycles), dtype=np.float32)
        change = self._cut_short(uniforms)
        np.cumsum(change, axis=2, out=change)
        whole = self._pull_span[:, None] * np.arange(1, cycles + 1)
        change += whole.astype(np.float32) + self._last[:, :, None]
        if self._is_first:  # rounding may put a death just before now
            np.maximum(change[:, :, 0], 0.0, out=change[:, :, 0])
        self._last, self._is_first = change[:, :, -1].copy(), False
        return change if np.all(self._rate == 1) else change * self._rate[:, None]

    def _cut_short(self, uniforms: Singles) -> Singles:
        """By how much each cycle differs from the pull age (from 0 where there is none)."""
        fails = uniforms < _share(self._pulled)[:, :, None]
        if self._is_first:
            fails[:, :, 0] = uniforms[:, :, 0] < _share(self._pulled - self._used)
        change = np.zeros_like(uniforms)
        hits = np.flatnonzero(fails)
        if hits.size:
            change.ravel()[hits] = self._lives(uniforms.ravel()[hits], hits, uniforms.shape)
        return change

    def _lives(self, uniforms: Singles, hits: Indices, shape: tuple[int, ...]) -> Singles:
        cell, cycle = np.divmod(hits, shape[2])
        future, position = np.divmod(cell, shape[1])
        hazard = -np.log1p(-uniforms.astype(np.float64))
        cut = self._pull_span[position]
        if self._is_first:
            used = np.broadcast_to(self._used, (shape[0], shape[1]))
            first = np.flatnonzero(cycle == 0)
            hazard[first] += used[future[first], position[first]]
            cut[first] += self._ages[position[first]]
        hours = self._law.hours(hazard, future) - cut
        with np.errstate(over="ignore"):  # a life beyond float32 is a life without end
            return hours.astype(np.float32)


def _share(hazard: Floats) -> Singles:
    """F for a cumulative hazard, as float32; parts that outlast everything stay at 1."""
    return np.asarray(-np.expm1(-np.maximum(hazard, 0.0)), dtype=np.float32)


def first_guess(
    sockets: Sequence[Socket], cycles: Sequence[float], demands: int, most_hours: float
) -> int:
    """Cycles per position that nearly always reach the last demand asked for.

    Args:
        cycles: mean cycle of each position in hours.
        demands: how many demands are wanted together.
        most_hours: hours on that no future goes beyond.
    """
    rates = [s.share / cycle for s, cycle in zip(sockets, cycles, strict=True)]
    busiest = int(np.argmax(rates))
    if rates[busiest] == 0:  # nothing ever dies
        return 2
    expected = min(
        demands * rates[busiest] / sum(rates),
        sockets[busiest].share * most_hours / cycles[busiest],
    )
    # A cycle between 0 and T with mean m has at most the variance m (T - m).
    slack = min(sockets[busiest].pull_at_hours / cycles[busiest] - 1.0, 1.0)
    return math.ceil(expected + 4.5 * math.sqrt(max(slack, 0.0) * (expected + 1))) + 4

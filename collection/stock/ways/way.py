"""One way to make a stock last, and the question it puts beside the one as things are."""

from collections import Counter
from collections.abc import Collection, Mapping
from dataclasses import dataclass, replace
from typing import Any

from collection.core.burn_in import after_burn_in, survives_bench
from collection.core.depletion import KEEP, Change, DepletionError, Gain, Sockets, Stock
from collection.core.life import LifeError
from collection.stock.asked import Asked, Refused, gained
from collection.stock.forecast import UNCHOSEN, Prospect
from collection.stock.models import PartType
from collection.stock.positions import share_with_two
from collection.stock.pulling import used_a_year

FAILS = "fails"


@dataclass(frozen=True)
class Way:
    """What would be done; a field at rest stays as it is.

    `pull`: hours, or 'fails'. `burn_in`: hours on the bench. `rest`: pieces that play nothing.
    `fewer`: of what, as 'Harbour 50', one stays off in each show that has two or more on; they
    take turns. `buy`: units, below nought lost. `near`: 'position|type' fed by a near type from
    now on.
    """

    pull: int | str | None = None
    burn_in: float = 0.0
    rest: tuple[str, ...] = ()
    fewer: str = ""
    buy: int = 0
    price_minor: int | None = None
    near: str = ""
    shows: float | None = None
    reserve: bool = False

    @classmethod
    def read(cls, given: Mapping[str, Any]) -> "Way":
        """From a form's cleaned data or from a kept plan."""
        said = {name: given.get(name) for name in cls.__dataclass_fields__}
        said["rest"] = tuple(said["rest"] or ())
        known = {name: value for name, value in said.items() if value not in (None, "")}
        return cls(**known)

    def kept(self) -> dict[str, Any]:
        """As it is stored: only what is not at rest."""
        return {
            name: list(value) if isinstance(value, tuple) else value
            for name in self.__dataclass_fields__
            if (value := getattr(self, name)) not in (None, "", 0, 0.0, (), False)
        }


@dataclass(frozen=True)
class Put:
    """Two questions, as it is and as it would be; `bench`: share that comes off the bench."""

    now: Asked
    then: Asked
    bench: float = 1.0

    @property
    def gain(self) -> Gain:
        """What the way gains."""
        return gained(self.now, self.then)

    @property
    def used_a_year(self) -> float | None:
        """Single parts used a year, what dies on the bench among them."""
        used = used_a_year(self.then)
        return None if used is None else used / self.bench

    @property
    def used_now(self) -> float | None:
        """Single parts used a year as things are."""
        return used_a_year(self.now)


def put(prospect: Prospect, way: Way) -> Put:
    """The questions of a way; raises Refused with reasons in plain words.

    Where nobody has chosen when to pull, the pull asked for stands on both sides.
    """
    pull = None if way.pull == FAILS else way.pull
    asks_pull = way.pull is not None
    start = prospect.pull if prospect.pull != UNCHOSEN or not asks_pull else pull
    if asks_pull:
        prospect.ask(pull=pull)  # refuses what the log cannot bear out at all
    now = prospect.ask(pull=start)
    what = Change(
        pull_at_hours=pull if asks_pull else KEEP,
        rest=_resting(prospect, way),
        shows_per_year=way.shows,
    )
    try:
        return _changed(prospect, way, now, what)
    except (DepletionError, LifeError) as error:
        raise Refused((str(error),)) from error


def _changed(prospect: Prospect, way: Way, now: Asked, what: Change) -> Put:
    stock = prospect.stocked(reserve=way.reserve, bought=way.buy)
    sockets, life, bench = what.sockets(now.sockets), now.law.life, 1.0
    if way.fewer:
        sockets = replace(sockets, share_of_use=_taking_turns(prospect, way, sockets))
    if way.burn_in:
        bench = survives_bench(life, way.burn_in, set_size=stock.set_size)
        stock, sockets, life = after_burn_in(stock, sockets, life, hours=way.burn_in)
        stock = replace(stock, passes_test=_reserve_unburned(prospect, way, stock, bench))
    law = replace(now.law, life=life)
    usage = what.usage(now.usage)
    then = replace(
        now, stock=stock, sockets=sockets, law=law, usage=usage, drawn_as=now.seed
    )  # fmt: skip
    return Put(now, then, bench)


def _reserve_unburned(prospect: Prospect, way: Way, stock: Stock, bench: float) -> float:
    """Share that passes where the pulled reserve, tried on stage already, skips the bench."""
    if not way.reserve:
        return stock.passes_test
    everything = prospect.stocked(reserve=True, bought=max(0, way.buy)).units
    return stock.passes_test + (1 - bench) * prospect.reserve / max(1, everything)


def _resting(prospect: Prospect, way: Way) -> tuple[int, ...]:
    position = way.near.partition("|")[0]
    return tuple(
        number
        for number, feed in enumerate(prospect.feeds)
        if feed.rests or feed.piece in way.rest or feed.words == position
    )


def _taking_turns(prospect: Prospect, way: Way, sockets: Sockets) -> tuple[float, ...]:
    """Shares of use where one stays off in each show that had two or more of a kind on."""
    alike = _alike(prospect, way.fewer) - set(way.rest)
    if len(alike) < 2:
        raise DepletionError(f"There are not two {way.fewer} in use that could take turns.")
    feeds = prospect.feeds
    played = sum({feed.piece: feed.share for feed in feeds if feed.piece in alike}.values())
    saved = _with_two(prospect, alike)
    if not saved:
        raise DepletionError(
            f"No show of the last year had two {way.fewer} on at once, so one fewer saves nothing."
        )
    slower = (played - saved) / played
    shares = sockets.share_of_use or (1.0,) * len(feeds)
    return tuple(
        share * slower if feed.piece in alike else share
        for share, feed in zip(shares, feeds, strict=True)
    )


# -- what may be chosen ----------------------------------------------------------------------
def in_use(prospect: Prospect) -> list[tuple[str, str]]:
    """Pieces that use the type and could rest."""
    used = {feed.piece: f"{feed.piece} {feed.called}" for feed in prospect.feeds if not feed.rests}
    return list(used.items())


def twins(prospect: Prospect) -> list[tuple[str, int]]:
    """What there are two or more of in use, and how many; none of what ages unplayed."""
    if prospect.stock.lead.clock == PartType.Clock.DAYS:
        return []
    kin = {home.code: home.kin for home in prospect.stock.shelf.homes}
    counted = Counter(kin[code] for code in {f.piece for f in prospect.feeds if not f.rests})
    return sorted((called, many) for called, many in counted.items() if called and many > 1)


def _alike(prospect: Prospect, called: str) -> set[str]:
    """Pieces in use of that design or circuit."""
    kin = {home.code for home in prospect.stock.shelf.homes if home.kin == called}
    return {feed.piece for feed in prospect.feeds if feed.piece in kin and not feed.rests}


def _with_two(prospect: Prospect, codes: Collection[str]) -> float:
    return share_with_two(codes, prospect.stock.shelf.shows, prospect.today)


def two_on(prospect: Prospect, called: str) -> float:
    """Part of the last year's shows that had two or more of a design or circuit on."""
    return _with_two(prospect, _alike(prospect, called))


def near_types(prospect: Prospect) -> list[tuple[str, str]]:
    """A near type for each position in use: ('A-007 output|KT77', in words with what differs)."""
    near = {code: why for kind in prospect.stock.types for code, why in kind.near.items()}
    return [
        (f"{feed.words}|{code}", f"{code} in {feed.words}: {why}")
        for feed in prospect.feeds
        if not feed.rests
        for code, why in near.items()
    ]

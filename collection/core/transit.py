"""The legs of a journey: when a piece, sent now, can sound somewhere else.

Model: pack, one way of travelling (by road, by sea with a road at each end, or by air with
a road at each end), the customs border, warm-up, check. Road legs are planned: geodesic
times detour at planning speed within legal driving hours. Sea and air legs are an estimate
that says 'estimate, ring' until somebody has entered a departure, its cut-off (a quoted
hand-in) and its arrival. A departure that cannot be reached any more is not used.
Which way: by a mode that was quoted, whichever sounds first; else by road on one landmass up
to `Rules.road_limit_km`, by sea up to `Rules.sea_limit_km` from land to land, else by air.
Limits: no map of roads, ports or airports: a quay is taken to lie half-way and an airport
`Rules.airport_km` off unless the road to it is quoted; no change of aircraft; no closing days;
one border at most, whatever is driven through. These are what the telephone is for.
Source: hours and cut-offs, see `transit_rules.Rules.basis`; driving, see `driving`.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

from collection.core.distance import Site, kilometres
from collection.core.driving import drive
from collection.core.moment import require_aware, spoken, utc
from collection.core.territory import customs_territory, landmass
from collection.core.transit_rules import Rules

__all__ = ["ESTIMATE", "LEGS", "Leg", "Quote", "Rules", "plan"]

LEGS = (
    "pack", "road", "hand-in", "flight", "hand-out", "sea", "border", "warm-up", "check",
)  # fmt: skip
ESTIMATE = "estimate, ring"

_Over = tuple[ZoneInfo, ZoneInfo]  # the zones a leg starts and ends in


@dataclass(frozen=True, slots=True, kw_only=True)
class Quote:
    """What somebody said of one leg: `what` of LEGS, basis 'quoted' or 'confirmed' by a call.

    A quoted hand-in is a counter: it opens at `leaves_at`, and `arrives_at` is the cut-off.
    Raises ValueError for an unknown leg or basis, no time zone, an arrival not after leaving.
    """

    what: str
    leaves_at: datetime
    arrives_at: datetime
    basis: str

    def __post_init__(self) -> None:
        if self.what not in LEGS:
            raise ValueError(f"{self.what!r} is no leg; it must be one of {', '.join(LEGS)}.")
        if self.basis not in ("quoted", "confirmed"):
            raise ValueError(f"A quote is 'quoted' or 'confirmed', not {self.basis!r}.")
        require_aware(self.leaves_at, f"The departure of the {self.what} leg")
        require_aware(self.arrives_at, f"The arrival of the {self.what} leg")
        if utc(self.arrives_at) <= utc(self.leaves_at):
            raise ValueError(f"The {self.what} leg arrives before it leaves; change one of them.")


@dataclass(frozen=True, slots=True, kw_only=True)
class Leg:
    """One part of a journey: local start and end, what they rest on, and why so long.

    basis: 'planned', 'estimate', 'quoted' or 'confirmed'. `note` is a line for the page.
    """

    what: str
    starts_at: datetime
    ends_at: datetime
    basis: str
    note: str

    @property
    def length(self) -> timedelta:
        """True length, across time zones and changes of the clock."""
        return utc(self.ends_at) - utc(self.starts_at)


def plan(
    origin: Site,
    destination: Site,
    leave_at: datetime,
    rules: Rules,
    *,
    quotes: Sequence[Quote] = (),
) -> tuple[Leg, ...]:
    """Lay out the journey of a piece that is free at `leave_at`, in order, in local times.

    Legs follow each other; between two there is a gap only where a quoted departure is
    waited for. Raises ValueError when `leave_at` names no time zone.
    """
    require_aware(leave_at, "The time of leaving")
    ways = [way for way in ("sea", "flight") if any(quote.what == way for quote in quotes)]
    if not ways:
        ways = [_usual_way(origin, destination, rules)]
    journeys = (_Journey(way, origin, destination, rules, quotes) for way in ways)
    plans = (journey.legs_from(leave_at) for journey in journeys)
    return min(plans, key=lambda legs: utc(legs[-1].ends_at))


def _usual_way(origin: Site, destination: Site, rules: Rules) -> str:
    km = kilometres(origin, destination)
    if landmass(origin.country) != landmass(destination.country):
        return "sea" if km <= rules.sea_limit_km else "flight"
    return "road" if km * rules.detour <= rules.road_limit_km else "flight"


def _whole_minutes(length: timedelta) -> timedelta:
    """Rounded up, since nobody plans in seconds and a plan must not be too short."""
    return -(-length // timedelta(minutes=1)) * timedelta(minutes=1)


class _Journey:
    """A clock in UTC that walks from origin to destination and writes down legs."""

    def __init__(
        self, way: str, origin: Site, destination: Site, rules: Rules, quotes: Sequence[Quote]
    ) -> None:
        self.way = way
        self.rules = rules
        self.origin, self.destination = origin, destination
        here, there = origin.zone, destination.zone
        self.outward, self.across, self.inward = (here, here), (here, there), (there, there)
        self.km = kilometres(origin, destination)
        self.local = way == "road" and self.km <= rules.local_km
        self.quotes = list(quotes)
        self.clock = datetime.max.replace(tzinfo=UTC)
        self.legs: list[Leg] = []

    def legs_from(self, leave_at: datetime) -> tuple[Leg, ...]:
        self.clock = utc(leave_at)
        self._pack()
        if self.way == "road":
            self._road(self.km, self.rules.detour, self.across)
            self._border()
        elif self.way == "sea":
            self._over_sea()
        else:
            self._by_air()
        self._sound()
        return tuple(self.legs)

    def _pack(self) -> None:
        minutes = self.rules.local_pack_minutes if self.local else self.rules.pack_minutes
        length = timedelta(minutes=minutes)
        if self.way == "road" and (van := self._first("road", self.clock)):
            # Whoever said when the van leaves has reckoned with the packing.
            length = min(length, utc(van.leaves_at) - self.clock)
        self._step("pack", length, "to find, pack and carry out", self.outward)

    def _road(self, km: float, detour: float, over: _Over, where: str = "") -> None:
        country = (self.destination if over == self.inward else self.origin).country
        trip = drive(km * detour / self.rules.road_km_per_hour, law := self.rules.law(country))
        length = _whole_minutes(trip.length)
        factor = f" × {detour:g}" if detour != 1 else ""
        note = f"by road{where}, {km:.0f} km{factor} at {self.rules.road_km_per_hour:g} km/h"
        if trip.breaks:
            rest = f" and {spoken(trip.rest)} of rest" if trip.rest else ""
            note += f", with {spoken(trip.breaks)} of breaks{rest} ({law.source})"
        self._step("road", length, note, over)

    def _over_sea(self) -> None:
        rules, half = self.rules, self.km / 2
        self._road(half, rules.detour, self.outward, " to the quay")
        self._depart("sea", rules.sea_check_in_minutes / 60, rules.sea_hours, "crossing and wait")
        self._border()
        self._road(half, rules.detour, self.inward, " from the quay")

    def _by_air(self) -> None:
        rules = self.rules
        self._road(rules.airport_km, 1, self.outward, " to an airport")
        hours = self.km / rules.flight_km_per_hour + rules.flight_fixed_minutes / 60
        why = f"for {self.km:.0f} km at {rules.flight_km_per_hour:g} km/h"
        self._depart("flight", rules.hand_in_hours, hours, why)
        out = timedelta(hours=rules.hand_out_hours)
        self._step("hand-out", out, "until freight is handed out", self.inward, "estimate")
        self._border()
        self._road(rules.airport_km, 1, self.inward, " from the airport")

    def _depart(self, what: str, cut_off_hours: float, hours: float, why: str) -> None:
        """Hand in and travel, by the first quoted departure that can still be reached."""
        cut_off = timedelta(hours=cut_off_hours)
        counter = self._counter()
        handed_in = utc(counter.arrives_at) if counter else self.clock + cut_off
        if departure := self._first(what, handed_in):
            self._wait_for(departure, counter, cut_off)
            return
        missed = any(quote.what == what for quote in self.quotes)
        why += "; the quoted departure is missed" if missed else "; no departure entered"
        self._step("hand-in", cut_off, "from hand-in to departure", self.outward, "estimate")
        length = _whole_minutes(timedelta(hours=hours))
        self._step(what, length, why, self.across, "estimate")

    def _wait_for(self, departure: Quote, counter: Quote | None, cut_off: timedelta) -> None:
        leaves = departure.leaves_at.astimezone(self.outward[1])
        if counter:
            said = f"cut-off {counter.arrives_at.astimezone(self.outward[1]):%H:%M}, told"
            self.quotes = [quote for quote in self.quotes if quote.what != "hand-in"]
        else:
            said = f"cut-off taken as {spoken(cut_off)} before"
        note = f"until departure at {leaves:%H:%M}, {said}"
        basis = counter.basis if counter else "planned"
        self._step("hand-in", utc(leaves) - self.clock, note, self.outward, basis)
        self._as_quoted(departure, self.across)

    def _border(self) -> None:
        left = customs_territory(self.origin.country)
        entered = customs_territory(self.destination.country)
        if left != entered:
            note = f"for customs on the way, {left} to {entered}; have the counterfoils stamped"
            length = timedelta(minutes=self.rules.border_minutes)
            self._step("border", length, note, self.inward)

    def _sound(self) -> None:
        rules = self.rules
        if self.local:
            warm, why, check = rules.warm_up_minutes, "to warm up", rules.check_minutes
        else:
            warm, check = rules.acclimatise_minutes, rules.freight_check_minutes
            why = "to take the room's temperature, dry, then warm up"
        self._step("warm-up", timedelta(minutes=warm), why, self.inward)
        self._step("check", timedelta(minutes=check), "to check and play", self.inward)

    def _first(self, what: str, not_before: datetime) -> Quote | None:
        """The quoted departure of this leg that arrives first of those still to be reached."""
        reachable = (q for q in self.quotes if q.what == what and utc(q.leaves_at) >= not_before)
        return min(reachable, key=lambda quote: utc(quote.arrives_at), default=None)

    def _counter(self) -> Quote | None:
        open_still = (
            q for q in self.quotes if q.what == "hand-in" and utc(q.arrives_at) >= self.clock
        )
        return min(open_still, key=lambda quote: utc(quote.arrives_at), default=None)

    def _step(
        self, what: str, length: timedelta, why: str, over: _Over, basis: str = "planned"
    ) -> None:
        if what != "hand-in" and (said := self._first(what, self.clock)):
            self._as_quoted(said, over)
            return
        ring = f"{ESTIMATE}: " if basis == "estimate" else ""
        note = f"{ring}{spoken(length)} {why}"
        self._write(what, (self.clock, self.clock + length), over, basis, note)

    def _as_quoted(self, quote: Quote, over: _Over) -> None:
        self.quotes.remove(quote)
        leaves, arrives = quote.leaves_at.astimezone(over[0]), quote.arrives_at.astimezone(over[1])
        note = f"{quote.basis}: leaves {leaves:%H:%M}, arrives {arrives:%H:%M}"
        self._write(quote.what, (leaves, arrives), over, quote.basis, note)

    def _write(
        self, what: str, span: tuple[datetime, datetime], over: _Over, basis: str, note: str
    ) -> None:
        starts_at, ends_at = span[0].astimezone(over[0]), span[1].astimezone(over[1])
        self.legs.append(
            Leg(what=what, starts_at=starts_at, ends_at=ends_at, basis=basis, note=note)
        )
        self.clock = utc(ends_at)

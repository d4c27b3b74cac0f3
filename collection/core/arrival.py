"""When each candidate would sound at the place of the need.

What stands on the tour (patched, at the side, in the truck) is reached by the ladder of
`transit_rules.Rules`; what stands in town or away travels by `transit.plan`. Without quotes
a journey is as long whenever it starts, so it is laid out once for each distinct place;
a candidate with quotes is planned on its own. What is on the way already comes when its
carrier says, takes the room's temperature, and is checked; once that hour has passed without
an arrival, the rest is an estimate: ring.
"""

from datetime import datetime, timedelta

from collection.core.backup_records import Candidate
from collection.core.distance import Site, kilometres
from collection.core.moment import spoken, utc
from collection.core.transit import ESTIMATE, Leg, Quote, plan
from collection.core.transit_rules import Rules

Sounding = tuple[datetime, str]  # the instant in UTC, and what it rests on

_WHERE = {
    "patched": "patched and warm: change over",
    "side": "at the side of the stage: carry on, connect, listen",
    "truck": "in the truck: find, unload, carry on",
}


class Arrivals:
    """Arrivals at one place from one moment on, journeys kept for each distinct place."""

    def __init__(self, at: Site, now: datetime, rules: Rules) -> None:
        self._at = at
        self._now = utc(now)
        self._rules = rules
        self._journeys: dict[int, tuple[Site, timedelta, str]] = {}
        self._same: dict[Site, tuple[timedelta, str]] = {}
        self._ladder = ladder(rules)

    def sounding(self, candidate: Candidate) -> Sounding:
        """The instant a candidate could sound, in UTC, and the weakest basis of its legs."""
        free = candidate.free_from
        leaves = self._now if free <= self._now else utc(free)
        if candidate.on_the_way is not None:
            coming = self.legs(candidate)
            return utc(coming[-1].ends_at), basis(coming)
        steps = self._ladder.get(candidate.stands)
        if steps is not None:
            return leaves + steps, "planned"
        if candidate.quotes:
            legs = plan(candidate.site, self._at, leaves, self._rules, quotes=candidate.quotes)
            return utc(legs[-1].ends_at), basis(legs)
        length, rests_on = self.journey(candidate.site)
        return leaves + length, rests_on

    def journey(self, site: Site) -> tuple[timedelta, str]:
        """How long the way from a site takes without any quote, and its basis."""
        # Hashing a site costs more than asking whether it is the same object as before.
        known = self._journeys.get(id(site))
        if known is not None and known[0] is site:
            return known[1], known[2]
        found = self._same.get(site)
        if found is None:
            legs = plan(site, self._at, self._now, self._rules)
            found = self._same[site] = utc(legs[-1].ends_at) - self._now, basis(legs)
        self._journeys[id(site)] = (site, *found)
        return found

    def legs(self, candidate: Candidate) -> tuple[Leg, ...]:
        """The legs that lead to `sounding`, in local times."""
        leaves = max(utc(candidate.free_from), self._now)
        if candidate.on_the_way is not None:
            return self._under_way(candidate, candidate.on_the_way)
        if candidate.stands in _WHERE:
            return _on_the_tour(candidate, leaves.astimezone(self._at.zone), self._rules)
        return plan(candidate.site, self._at, leaves, self._rules, quotes=candidate.quotes)

    def _under_way(self, candidate: Candidate, word: Quote) -> tuple[Leg, ...]:
        """The rest of a way that has begun, then from where it ends."""
        expected, zone = utc(word.arrives_at), self._at.zone
        late = expected <= self._now
        comes = max(expected, self._now).astimezone(zone)
        said = f"expected {expected.astimezone(zone):%a %H:%M}"
        note = f"on the way, was {said}: {ESTIMATE}" if late else f"on the way, {said}"
        known = "estimate" if late else word.basis
        first = Leg(
            what="road", starts_at=self._now.astimezone(zone), ends_at=comes, basis=known, note=note
        )
        if kilometres(candidate.site, self._at) > self._rules.local_km:
            onward = plan(candidate.site, self._at, comes, self._rules, quotes=candidate.quotes)
            return (first, *onward)
        rules = self._rules
        warm = timedelta(minutes=rules.acclimatise_minutes)
        dry = _leg("warm-up", comes, warm, "to take the room's temperature, dry, then warm up")
        heard = timedelta(minutes=rules.freight_check_minutes)
        return first, dry, _leg("check", dry.ends_at, heard, "to check and play")


def ladder(rules: Rules) -> dict[str, timedelta]:
    """Time to sound of what stands on the tour; town and away are not in it."""
    return {
        "patched": timedelta(seconds=rules.patched_seconds),
        "side": timedelta(minutes=rules.side_minutes),
        "truck": timedelta(minutes=rules.truck_minutes + rules.warm_up_minutes),
    }


def basis(legs: tuple[Leg, ...]) -> str:
    """What a whole journey rests on: one estimate makes it an estimate."""
    said = {leg.basis for leg in legs}
    return next(word for word in ("estimate", "confirmed", "quoted", "planned") if word in said)


def _on_the_tour(candidate: Candidate, leaves: datetime, rules: Rules) -> tuple[Leg, ...]:
    total = ladder(rules)[candidate.stands]
    if candidate.stands != "truck":
        return (_leg("check", leaves, total, _WHERE[candidate.stands]),)
    warm = timedelta(minutes=rules.warm_up_minutes)
    unloaded = _leg("pack", leaves, total - warm, _WHERE["truck"])
    return unloaded, _leg("warm-up", unloaded.ends_at, warm, "to warm up")


def _leg(what: str, starts_at: datetime, length: timedelta, why: str) -> Leg:
    ends_at = (utc(starts_at) + length).astimezone(starts_at.tzinfo)
    note = f"{spoken(length)} {why}"
    return Leg(what=what, starts_at=starts_at, ends_at=ends_at, basis="planned", note=note)

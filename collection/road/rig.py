"""The rig plan as it stands at a moment: what plays, what stands behind it, and how far off."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import datetime
from zoneinfo import ZoneInfo

from collection.catalogue.models import Piece
from collection.core.freight import expected_words, late
from collection.core.transit_rules import Rules
from collection.core.wording import duration
from collection.ledger.models import State
from collection.road.candidates import may_know_private
from collection.road.models import OutsideCandidate, RigPosition, Show
from collection.road.sites import Atlas
from collection.road.swapped import swapped
from collection.road.taken import Taken, about, taken_for
from registry.access.models import Collection, Membership

STANDS = {
    "patched": "patched and warm",
    "side": "side of stage",
    "truck": "in the truck",
    "town": "in town",
    "away": "freight away",
}
STEPS = {name: step for step, name in enumerate(STANDS, start=1)}
_STANDING = {
    "stolen": ("gone", "backup stolen"),
    "not_found": ("gone", "backup not found"),
    "quarantined": ("bare", "backup in quarantine"),
    "sold": ("bare", "backup sold"),
    "disposed": ("bare", "backup disposed of"),
    "stripped": ("bare", "backup stripped for parts"),
    "given_back": ("bare", "backup back with its owner"),
}


@dataclass(frozen=True)
class RigLine:
    """A position with the state of its backup, in a glyph, a word and a sentence."""

    position: RigPosition
    mark: str  # 'ok', 'bare', 'gone', 'over'
    words: str
    note: str = ""
    step: int | None = None
    accepted: int | None = None
    away: str = ""  # how long until it sounds, in words
    taken: Taken | None = None  # what was taken for it today

    @property
    def hole(self) -> bool:
        """Whether nothing usable stands behind the position."""
        return self.mark in {"bare", "gone"}

    @property
    def number(self) -> int:
        return self.position.number

    @property
    def steps(self) -> list[tuple[str, str]]:
        """The written fallback, line by line: the word before a colon and what follows."""
        return [_halves(str(line)) for line in self.position.fallback_steps]

    @property
    def accepted_words(self) -> str:
        """The outage the artist accepts, in words; '' when nobody has said."""
        minutes = self.position.outage_minutes
        return "" if minutes is None else duration(60 * minutes)


def _halves(line: str) -> tuple[str, str]:
    head, colon, rest = line.partition(":")
    return (head.strip(), rest.strip()) if colon and len(head) <= 12 else ("then", line.strip())


def seconds_to_sound(stands: str, rules: Rules) -> float | None:
    """How long what stands there takes to sound; None where only a plan of the way can say."""
    return {
        "patched": rules.patched_seconds,
        "side": 60 * rules.side_minutes,
        "truck": 60 * (rules.truck_minutes + rules.warm_up_minutes),
    }.get(stands)


def accepted_step(minutes: int | None, rules: Rules) -> int | None:
    """The farthest box within the outage the artist accepts; patched at the least."""
    if minutes is None:
        return None
    reached = [
        STEPS[stands]
        for stands in ("patched", "side", "truck")
        if (seconds_to_sound(stands, rules) or 0) <= 60 * minutes
    ]
    return max(reached, default=STEPS["patched"])


def rig_lines(
    positions: Iterable[RigPosition],
    atlas: Atlas,
    rules: Rules,
    *,
    show: Show | None,
    member: Membership | None,
) -> list[RigLine]:
    """Every position with what became of its backup; no query of its own."""
    return [_line(position, atlas, rules, show, member) for position in positions]


def _line(position: RigPosition, atlas: Atlas, rules: Rules, show, member) -> RigLine:
    backup, accepted = position.backup, accepted_step(position.outage_minutes, rules)
    if backup is None:
        return RigLine(position, "bare", "no backup", accepted=accepted)
    state = state_of(backup)
    if trouble := _trouble(state):
        return RigLine(position, *trouble, note=_seen(backup, state), accepted=accepted)
    if elsewhere := _elsewhere(state, atlas, show, member):
        return RigLine(position, "bare", "backup not here", note=elsewhere, accepted=accepted)
    return _standing(position, rules, accepted)


def _standing(position: RigPosition, rules: Rules, accepted: int | None) -> RigLine:
    stands, step = position.stands, STEPS[position.stands]
    seconds = seconds_to_sound(stands, rules)
    away = duration(seconds) if seconds is not None else "ring"
    words = f"{STANDS[stands]}, {away}"
    if accepted is not None and step > accepted:
        where = STANDS[stands].removeprefix("in the ")
        return RigLine(
            position, "over", f"too far: {where}, {away}", step=step, accepted=accepted, away=away
        )
    return RigLine(position, "ok", words, step=step, accepted=accepted, away=away)


def state_of(piece: Piece) -> State | None:
    """The state row of a piece that was read with it."""
    return getattr(piece.subject, "state", None)


def _trouble(state: State | None) -> tuple[str, str] | None:
    if state is None:
        return None
    if state.standing in _STANDING:
        return _STANDING[state.standing]
    if state.detail.get("tag"):
        return "bare", "backup tagged out"
    if state.open_faults:
        return "bare", "backup has an open fault"
    return None


def _seen(piece: Piece, state: State | None) -> str:
    tag = state.detail.get("tag") if state else None
    return f"DO NOT POWER: {tag['reason']}." if tag else ""


def _elsewhere(state: State | None, atlas: Atlas, show, member: Membership | None) -> str:
    """A sentence when the backup is neither with the tour nor at the venue; '' when it is."""
    if show is None:
        return ""
    found = atlas.find(state.place_id if state else None)
    if found.coming:
        said = expected_words(found.coming.expected_at, atlas.at, found.coming.zone)
        how = "was" if late(found.coming.expected_at, atlas.at) else "is"
        return f"It is on the way, {found.coming.code}; it {how} expected {said}."
    at_venue = state is not None and atlas.stands_in(state.place_id, show.venue)
    if at_venue or found.tour_id == show.tour_id:
        return ""
    if found.site is None:
        return found.said
    if found.private and not may_know_private(member):
        return "It is at a private place."
    return f"It is at {atlas.places[state.place_id].name}."


def tally(lines: list[RigLine]) -> list[tuple[str, str]]:
    """The marks of a rig plan counted, worst first, as (mark, words)."""
    said = {"bare": "without backup", "gone": "not found or stolen", "over": "too far away",
            "ok": "in time"}  # fmt: skip
    counted = {mark: sum(line.mark == mark for line in lines) for mark in said}
    return [(mark, f"{count} {said[mark]}") for mark, count in counted.items() if count]


def with_swapped(lines: list[RigLine], show: Show | None) -> list[RigLine]:
    """The lines of a plan; where the backup plays since a death, nothing stands behind it."""
    found = swapped(show, [line.position for line in lines])
    return [_plays(line) if line.position.pk in found and not line.hole else line for line in lines]


def _plays(line: RigLine) -> RigLine:
    piece, backup = line.position.piece, line.position.backup
    note = f"{backup.code} plays since {piece.code} went silent; nothing stands behind it."
    return RigLine(line.position, "bare", "backup plays", note=note, accepted=line.accepted)


def with_taken(
    lines: list[RigLine], collection: Collection, *, now: datetime, zone: ZoneInfo
) -> list[RigLine]:
    """The lines of a plan, each with what was taken for it today and still stands behind it."""
    said = {line.number: about(line.position, "") for line in lines}
    found = taken_for(collection, said.values(), now=now, zone=zone)
    hired = _hired(collection, {taken.code for taken in found.values() if not taken.own})
    return [
        replace(line, taken=_still_taken(line, found.get(said[line.number]), hired))
        for line in lines
    ]


def _hired(collection: Collection, codes: set[str]) -> dict[str, str]:
    """What those of others are called here while they are hired; one query where there are any."""
    if not codes:
        return {}
    rows = OutsideCandidate.objects.of(collection).filter(code__in=codes, hired_as__isnull=False)
    return dict(rows.values_list("code", "hired_as__subject__code"))


def _still_taken(line: RigLine, taken: Taken | None, hired: dict[str, str]) -> Taken | None:
    """None once the plan names another backup, or it is here and what is wrong with it shows."""
    if taken is None:
        return None
    own = taken.own or hired.get(taken.code, "")
    if own in ("", _code(line.position.piece)):
        return taken
    backup = line.position.backup
    return taken if own == _code(backup) and not _trouble(state_of(backup)) else None


def _code(piece: object) -> str:
    return piece.code if piece else ""

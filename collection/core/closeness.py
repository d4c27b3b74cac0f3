"""How near a piece comes to what failed, and how fresh the proof that it works.

The ladder, from a rider's habit of naming acceptable substitutes (common practice, no
source): 1 twin set up alike; 2 same design and circuit; 3 same design; 4 circuit declared
close; 5 same kind within the artist's word; 6 anything of the kind.
Evidence ages by house rules: 30 days when powered only, 90 when played until hot, 180 when
checked at the bench. Unknown is not working.
"""

from collections.abc import Mapping, Sequence

from collection.core.backup_records import Candidate, Evidence, Need
from collection.core.transit_rules import Rules

ACCEPTED, EMERGENCY, UNLISTED = 0, 1, 2


def listed(need: Need, candidate: Candidate) -> int:
    """Place on the artist's list: 0 accepted, 1 emergency, 2 not named."""
    if candidate.code in need.accepted or candidate.design in need.accepted:
        return ACCEPTED
    if candidate.code in need.emergency or candidate.design in need.emergency:
        return EMERGENCY
    return UNLISTED


def closeness(need: Need, candidate: Candidate) -> int:
    """The rung of the ladder, 1 (a twin) to 6 (anything of the kind)."""
    if need.code is not None and candidate.twin_of == need.code:
        return 1
    if candidate.design == need.design:
        return 2 if candidate.circuit == need.circuit else 3
    if candidate.circuit in need.close_circuits:
        return 4
    return 6 if listed(need, candidate) == UNLISTED else 5


def proof_days(rules: Rules) -> dict[str, int]:
    """How many days each level of evidence counts."""
    return {
        "powered": rules.powered_days,
        "played-hot": rules.played_hot_days,
        "bench-checked": rules.bench_checked_days,
    }


def fresh_until(evidence: Sequence[Evidence], days: Mapping[str, int]) -> int | None:
    """Last day (as an ordinal) on which unvoided evidence counts; None without any."""
    latest = None
    for each in evidence:
        if not each.voided_by:
            until = each.on.toordinal() + days[each.level]
            if latest is None or until > latest:
                latest = until
    return latest

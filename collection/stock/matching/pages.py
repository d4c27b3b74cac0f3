"""What each page of matching is given to show."""

from typing import Any

from collection.core.matching import SIZES
from collection.stock import queries as stock
from collection.stock.matching import queries
from collection.stock.matching.forms import ToleranceForm
from collection.stock.matching.proposal import propose
from collection.stock.matching.queries import Group
from collection.stock.models import Lot, Part
from registry.access.models import Collection
from registry.access.queries import member_names


def everything_loose(collection: Collection) -> dict[str, Any]:
    """Groups that compare, tubes without a slip, mates, sets to judge, sets that wait."""
    loose = queries.loose_tubes(collection)
    rule = queries.rule_of(collection)
    names = member_names(collection)
    return {
        "groups": queries.groups(loose),
        "mates": [one for one in loose if one.mate],
        "untested": [one for one in loose if one.slip is None],
        "to_judge": queries.sets_to_judge(collection),
        "waiting": queries.labels(collection),
        "lots": queries.lots_of_singles(collection),
        "rule": rule,
        "chosen_by": names.get(rule.chosen_by, rule.chosen_by),
        "tolerance": ToleranceForm(rule=rule),
    }


def sets_of(group: Group, *, size: int) -> dict[str, Any]:
    """A group with the sets that it would make."""
    size = size if size in SIZES else SIZES[0]
    rule = queries.rule_of(group.lot.collection)
    kind = group.lot.type
    return {
        "group": group,
        "size": size,
        "rule": rule,
        "proposal": propose(group, rule, size=size),
        "unread": [tube for tube in group.tubes if not tube.read],
        "fours": queries.fours(kind.collection, [kind.code, *kind.same_as]),
    }


def slip_choices(lot: Lot) -> dict[str, Any]:
    """Grades the lot counts tested tubes in, and its tubes with a code that may be tested again."""
    counts = stock.count_of(lot).counts
    grades = [b.partition(":")[2] for b, n in counts.items() if b.startswith("tested:") and n > 0]
    ordered = sorted(set(grades) | {"show"}, key=lambda grade: (grade != "show", grade))
    loose = [one for one in queries.loose_tubes(lot.collection) if one.part.lot_id == lot.pk]
    return {"grades": ordered, "loose": loose}


def apart_choices(part: Part) -> dict[str, Any]:
    """The tubes of a set, and how many of it can live on: one of a set that died is dead."""
    died = queries.state_of(part).grade == "dead"
    return {"members": queries.tubes_of(part), "most": part.units - died}

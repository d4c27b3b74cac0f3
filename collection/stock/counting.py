"""Where the units of a lot or type are: the line that must come out, and the gauge of it."""

from collections.abc import Mapping
from dataclasses import dataclass

# Buckets in the order of the line 'received = sealed + …'; graded ones stand for their family.
LINE = ("sealed", "tested", "fitted", "pulled", "kept-out", "dead", "lost", "unexplained")
BENCH = "bench"
OFF_STAGE = frozenset({BENCH, "rehearsal"})  # grades that no show is fed from


@dataclass(frozen=True)
class Balance:
    """Received = the sum of its terms; `terms`: (words, units), grades apart."""

    received: int
    terms: tuple[tuple[str, int], ...]
    unexplained: int


def balance(counts: Mapping[str, int]) -> Balance:
    """The conservation line of a lot; what cannot be accounted for is a term like the others."""
    terms: list[tuple[str, int]] = []
    for family in LINE:
        graded = sorted((b, n) for b, n in counts.items() if b.partition(":")[0] == family)
        terms += [(in_words(bucket), units) for bucket, units in graded] or [(in_words(family), 0)]
    return Balance(sum(counts.values()), tuple(terms), counts.get("unexplained", 0))


def in_words(bucket: str) -> str:
    """A bucket as people say it.

    >>> in_words("pulled:show"), in_words("kept-out"), in_words("tested:V1-quiet")
    ('pulled, show', 'kept out', 'tested, V1-quiet')
    """
    family, colon, grade = bucket.partition(":")
    return family.replace("-", " ") + (f", {grade}" if colon else "")


def gauge_counts(counts: Mapping[str, int]) -> dict[str, int]:
    """Counts by the states that the gauge draws; lost and kept out stand in the numbers only."""
    drawn: dict[str, int] = {}
    for bucket, units in counts.items():
        state = _drawn_as(bucket)
        if state:
            drawn[state] = drawn.get(state, 0) + max(0, units)
    return drawn


def _drawn_as(bucket: str) -> str:
    family, _, grade = bucket.partition(":")
    if family in {"lost", "kept-out"}:
        return ""
    return BENCH if grade == BENCH else family


def kept_off_stage(counts: Mapping[str, int]) -> list[tuple[str, int]]:
    """Pulled ones that feed no show, by grade.

    >>> kept_off_stage({"pulled:rehearsal": 6, "pulled:show": 2, "tested:bench": 3})
    [('rehearsal', 6)]
    """
    pulled = ((b.partition(":"), n) for b, n in sorted(counts.items()) if n > 0)
    return [(g, n) for (family, _, g), n in pulled if family == "pulled" and g in OFF_STAGE]


def ready(buckets: tuple[str, ...]) -> tuple[str, ...]:
    """Buckets that a show can be fed from without the pulled reserve."""
    return ("sealed", *_on_stage("tested", buckets))


def reserve(buckets: tuple[str, ...]) -> tuple[str, ...]:
    """Buckets of the pulled reserve that may still go on stage."""
    return _on_stage("pulled", buckets)


def _on_stage(family: str, buckets: tuple[str, ...]) -> tuple[str, ...]:
    graded = [(bucket, bucket.partition(":")) for bucket in buckets]
    return tuple(b for b, (head, _, grade) in graded if head == family and grade not in OFF_STAGE)

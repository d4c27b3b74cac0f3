"""Grades a part may be kept for: those that every shelf knows, and those that a chart asks for."""

from collections.abc import Iterable

SHOW, REHEARSAL, BENCH = "show", "rehearsal", "bench"
STANDING = (SHOW, REHEARSAL, BENCH)
WORDS = {
    SHOW: "show: played well to the end",
    REHEARSAL: "rehearsal: good enough there, on no stage",
    BENCH: "bench: works, noisy or drifting",
}


def in_order(own: Iterable[str]) -> tuple[str, ...]:
    """Show, the collection's own grades, rehearsal, bench; a grade that differs by case is one.

    >>> in_order(["V1-quiet", "bench", "v1-quiet"])
    ('show', 'V1-quiet', 'rehearsal', 'bench')
    """
    known = {grade.casefold() for grade in STANDING}
    found: list[str] = []
    for grade in sorted(own):
        if grade and grade.casefold() not in known:
            known.add(grade.casefold())
            found.append(grade)
    return (SHOW, *found, REHEARSAL, BENCH)


def as_known(typed: str, grades: Iterable[str]) -> str:
    """A grade as it is written already, whatever its case and hyphens; else as typed.

    >>> as_known("v1 quiet", ["show", "V1-quiet"])
    'V1-quiet'
    """
    plain = _plain(typed)
    return next((grade for grade in grades if _plain(grade) == plain), typed.strip())


def kept_for(grades: Iterable[str]) -> list[tuple[str, str]]:
    """Grades as choices of what a part is kept for."""
    return [(grade, WORDS.get(grade, f"{grade}: as its positions ask")) for grade in grades]


def goes_to(grades: Iterable[str]) -> list[tuple[str, str]]:
    """Where a part goes that comes out, as choices."""
    pulled = [(f"pulled:{grade}", f"pulled, for {WORDS.get(grade, grade)}") for grade in grades]
    kept = ("kept-out", "kept out: an original, stays with its piece")
    return [*pulled, kept, ("dead", "dead: failed")]


def _plain(grade: str) -> str:
    return "".join(sign for sign in grade.casefold() if sign.isalnum())

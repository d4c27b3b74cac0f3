"""What airlines take, as information for a fly date."""

import pytest

from collection.core.air_limits import (
    CHECKED_GRAMS_US,
    CHECKED_SUM_CM_US,
    LIMITS,
    flies,
    over_limits,
)


def test_the_american_limits_are_those_of_the_rule() -> None:
    """14 CFR 251.5: 165 pounds, 150 inches of length, width and height."""
    assert pytest.approx(74.84, abs=0.01) == CHECKED_GRAMS_US / 1000
    assert pytest.approx(381.0) == CHECKED_SUM_CM_US


def test_every_limit_says_what_it_rests_on() -> None:
    assert all(limit.source for limit in LIMITS)


@pytest.mark.parametrize(
    ("grams", "size", "said"),
    [
        (3900, "84 × 22 × 6 cm", ()),
        (33_000, "60 x 50 x 30 cm", ("33 kg: over 32 kg, so freight with most carriers.",)),
        (80_000, "60 x 50 x 30 cm", ("80 kg: over 165 lb (14 CFR 251.5).",)),
        (9_000, "200 × 100 × 90 cm", ("390 cm in all: over 381 cm (14 CFR 251.5).",)),
    ],
)
def test_what_is_over_a_limit_is_said(grams: int, size: str, said: tuple[str, ...]) -> None:
    assert over_limits(grams, size) == said


def test_what_nobody_has_weighed_or_measured_is_said() -> None:
    assert over_limits(None, "") == (
        "Its weight is not on record.", "Its size is not on record."
    )  # fmt: skip


def test_amplifiers_come_from_the_host() -> None:
    assert [flies(kind) for kind in ("instrument", "microphone", "amplifier", "cabinet")] == [
        True, True, False, False
    ]  # fmt: skip

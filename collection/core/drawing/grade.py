"""Five boxes from sound to freight: how far the backup stands from playing."""

from dataclasses import dataclass

BOXES = 5
PITCH = 18  # units of the 85-unit view box from box to box
WIDE = 11


@dataclass(frozen=True)
class Box:
    """One box, its left edge in units, filled where the backup stands."""

    x: int
    here: bool


@dataclass(frozen=True)
class GradeRow:
    """Boxes, the place of the accepted outage's stroke (None: nothing accepted yet), too far."""

    boxes: tuple[Box, ...]
    stroke: float | None
    too_far: bool


def grade_row(step: int, accepted: int | None) -> GradeRow:
    """Five boxes with box `step` (1 to 5) filled and a stroke behind box `accepted`.

    Raises:
        ValueError: a step that is not 1 to 5.
    """
    for name, value in (("step", step), ("accepted", accepted)):
        if value is not None and not 1 <= value <= BOXES:
            raise ValueError(f"{name} is {value}; accepted: 1 to {BOXES}")
    boxes = tuple(Box(1 + PITCH * n, n == step - 1) for n in range(BOXES))
    if accepted is None:
        return GradeRow(boxes, None, False)
    between = WIDE + (PITCH - WIDE) / 2
    return GradeRow(boxes, 1 + PITCH * (accepted - 1) + between, step > accepted)

"""What plays at a position at one show instead of what the plan says."""

from django.db import models

from collection.catalogue.models import Piece
from collection.road.models import OutsideCandidate, RigPosition, Show


class PositionOverride(models.Model):
    """A position on one night: another piece, something hired, a deputy, and the reason."""

    position = models.ForeignKey(RigPosition, models.CASCADE, related_name="overrides")
    show = models.ForeignKey(Show, models.CASCADE, related_name="overrides")
    piece = models.ForeignKey(Piece, models.PROTECT, null=True, blank=True, related_name="+")
    outside = models.ForeignKey(
        OutsideCandidate, models.PROTECT, null=True, blank=True, related_name="+"
    )
    backup = models.ForeignKey(Piece, models.PROTECT, null=True, blank=True, related_name="+")
    who = models.CharField("who works it, if somebody else", max_length=80, blank=True)
    because = models.CharField(max_length=200)
    noted_by = models.CharField(max_length=32)

    class Meta:
        ordering = ["position__number"]
        constraints = [
            models.UniqueConstraint(
                fields=["position", "show"], name="one_override_a_position_and_show"
            ),
            models.CheckConstraint(
                condition=models.Q(piece__isnull=True) | models.Q(outside__isnull=True),
                name="one_thing_plays_at_a_position",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.position} at {self.show}"

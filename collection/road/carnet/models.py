"""The carnet rule set aside: who, for which piece on which tour, why, in which entry."""

from django.db import models

from collection.catalogue.models import Piece
from collection.ledger.models import OfCollection
from collection.road.models import Tour
from registry.access.models import Collection


class CarnetOverride(models.Model):
    """A keeper lets a piece count as a backup across a customs border although it is not listed."""

    collection = models.ForeignKey(Collection, models.PROTECT, related_name="+")
    tour = models.ForeignKey(Tour, models.CASCADE, related_name="carnet_overrides")
    piece = models.ForeignKey(Piece, models.PROTECT, related_name="carnet_overrides")
    because = models.CharField(max_length=300)
    by = models.CharField("code of the keeper", max_length=32)
    at = models.DateTimeField()
    entry = models.BigIntegerField()

    objects = OfCollection.as_manager()

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["tour", "piece"], name="the_rule_is_set_aside_once")
        ]

    def __str__(self) -> str:
        return f"{self.piece} on {self.tour}"

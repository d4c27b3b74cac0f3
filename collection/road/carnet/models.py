"""The carnet of a tour, and the rule it makes set aside for a piece: who, why, in which entry."""

from django.db import models

from collection.catalogue.models import Piece
from collection.ledger.models import OfCollection, Subject
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


class Carnet(models.Model):
    """The carnet of a tour; from its issue on its list is what `rows` says and nothing is added.

    `rows`: lines of the general list as issued, each with the codes of its pieces; empty before.
    """

    subject = models.OneToOneField(Subject, models.PROTECT, primary_key=True, related_name="carnet")
    collection = models.ForeignKey(Collection, models.PROTECT, related_name="+")
    code = models.CharField(max_length=40)
    tour = models.OneToOneField(Tour, models.PROTECT, related_name="carnet_paper")
    number = models.CharField("number on the paper", max_length=40, blank=True)
    chamber = models.CharField("issuing chamber", max_length=80, blank=True)
    holder = models.CharField(max_length=80, blank=True)
    traveller = models.CharField("who travels with the goods", max_length=80, blank=True)
    home = models.CharField("country it comes home to", max_length=2, default="GB")
    currency = models.CharField(max_length=3)
    issued_on = models.DateField(null=True, blank=True)
    valid_until = models.DateField(null=True, blank=True)
    rows = models.JSONField(default=list, editable=False)

    objects = OfCollection.as_manager()

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=models.Q(issued_on__isnull=True)
                | models.Q(valid_until__gte=models.F("issued_on")),
                name="a_carnet_ends_after_its_issue",
            )
        ]

    def __str__(self) -> str:
        return f"carnet {self.number or self.code}"

    @property
    def issued(self) -> bool:
        """Whether its list is closed."""
        return self.issued_on is not None

    @property
    def listed(self) -> frozenset[str]:
        """Codes of the pieces on the issued list."""
        return frozenset(code for row in self.rows for code in row["codes"])

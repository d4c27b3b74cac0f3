"""Shipments; how far each has come and what is still on the way stands in the book's states."""

from zoneinfo import ZoneInfo

from django.db import models

from collection.custody.models import Party, Place
from collection.ledger.models import OfCollection, Subject
from registry.access.models import Collection


class Shipment(models.Model):
    """Pieces and cases with a carrier; a place of the same code holds them until they arrive."""

    class Basis(models.TextChoices):
        QUOTED = "quoted"
        CONFIRMED = "confirmed"

    subject = models.OneToOneField(
        Subject, models.PROTECT, primary_key=True, related_name="shipment"
    )
    collection = models.ForeignKey(Collection, models.PROTECT, related_name="+")
    code = models.CharField(max_length=40)
    things = models.JSONField("codes of what was handed over", default=list)
    origin = models.ForeignKey(Place, models.PROTECT, null=True, blank=True, related_name="+")
    to = models.ForeignKey(Place, models.PROTECT, related_name="+")
    carrier = models.ForeignKey(Party, models.PROTECT, null=True, blank=True, related_name="+")
    carrier_words = models.CharField("who brings it", max_length=80, blank=True)
    phone = models.CharField("telephone on the way", max_length=40, blank=True)
    waybill = models.CharField("waybill or tracking number", max_length=60, blank=True)
    left_at = models.DateTimeField()
    expected_at = models.DateTimeField()
    basis = models.CharField(max_length=10, choices=Basis, default=Basis.QUOTED)
    crosses = models.JSONField("countries passed, in order", default=list, blank=True)
    cautions = models.JSONField(default=list, blank=True)  # keys of core.freight.CAUTIONS
    entry = models.BigIntegerField()  # the number of the entry that says it left

    objects = OfCollection.as_manager()

    class Meta:
        ordering = ["expected_at"]
        constraints = [
            models.CheckConstraint(
                condition=models.Q(expected_at__gt=models.F("left_at")),
                name="a_shipment_arrives_after_it_leaves",
            )
        ]

    def __str__(self) -> str:
        return f"{self.code} to {self.to}"

    @property
    def zone(self) -> ZoneInfo:
        """The zone of where it goes, in which its arrival is said."""
        return ZoneInfo(self.to.nearest("zone") or self.collection.zone)

    @property
    def who(self) -> str:
        """Who brings it."""
        return self.carrier.name if self.carrier else self.carrier_words

    @property
    def reach(self) -> str:
        """The number to ring about it."""
        return self.phone or (self.carrier.phone if self.carrier else "")

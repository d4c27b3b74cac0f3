"""What is done after a theft, each task with its day, and the shops that are told."""

from django.db import models

from collection.custody.filed.models import FiledPaper
from collection.custody.models import Incident, Party
from collection.ledger.models import OfCollection
from registry.access.models import Collection


class Shop(models.Model):
    """A dealer, auction house or pawnbroker whom a thief might offer something to."""

    class Kind(models.TextChoices):
        DEALER = "dealer", "dealer"
        AUCTION = "auction", "auction house"
        PAWN = "pawnshop", "pawnshop"
        REPAIRER = "repairer", "repairer"

    party = models.OneToOneField(Party, models.PROTECT, primary_key=True, related_name="shop")
    collection = models.ForeignKey(Collection, models.PROTECT, related_name="+")
    kind = models.CharField("what they are", max_length=8, choices=Kind)
    town = models.CharField(max_length=120)
    country = models.CharField(max_length=2)
    latitude = models.FloatField()
    longitude = models.FloatField()

    objects = OfCollection.as_manager()

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.CheckConstraint(
                condition=models.Q(
                    latitude__gte=-90, latitude__lte=90, longitude__gte=-180, longitude__lte=180
                ),
                name="a_shop_is_on_earth",
            )
        ]

    def __str__(self) -> str:
        return f"{self.party}, {self.get_kind_display()} in {self.town}"


class TheftTask(models.Model):
    """One task of an incident: who, since when, by when, done with which paper."""

    collection = models.ForeignKey(Collection, models.PROTECT, related_name="+")
    incident = models.ForeignKey(Incident, models.PROTECT, related_name="tasks")
    key = models.CharField("which task", max_length=12)
    what = models.CharField(max_length=200)
    hint = models.CharField(max_length=240, blank=True)
    party = models.ForeignKey(Party, models.PROTECT, null=True, related_name="+")
    whose = models.CharField("who does it", max_length=80, blank=True)
    since = models.DateTimeField()
    due_at = models.DateTimeField(null=True)
    due_because = models.CharField(max_length=160, blank=True)
    done_at = models.DateTimeField(null=True)
    done_by = models.CharField(max_length=32, blank=True)
    applies = models.BooleanField(default=True)
    because = models.CharField("why it does not apply, or why no paper", max_length=200, blank=True)
    paper = models.ForeignKey(FiledPaper, models.PROTECT, null=True, related_name="tasks")

    objects = OfCollection.as_manager()

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["incident", "key", "party"], name="one_task_of_a_kind_a_party"
            ),
            models.UniqueConstraint(
                fields=["incident", "key"],
                condition=models.Q(party__isnull=True) & ~models.Q(key="own"),
                name="one_task_of_a_kind",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.incident}: {self.what}"

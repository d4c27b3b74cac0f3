"""Jobs; how far each has come stands in the book's state."""

from django.db import models

from collection.catalogue.models import Piece
from collection.custody.models import Party, Place
from collection.ledger.models import OfCollection, Subject
from registry.access.models import Collection


class Job(models.Model):
    """A stay of one or more pieces at a repairer, with its ticket, orders and limit."""

    subject = models.OneToOneField(Subject, models.PROTECT, primary_key=True, related_name="job")
    collection = models.ForeignKey(Collection, models.PROTECT, related_name="+")
    code = models.CharField(max_length=40)
    repairer = models.ForeignKey(Party, models.PROTECT, related_name="jobs")
    at = models.ForeignKey(Place, models.PROTECT, null=True, blank=True, related_name="+")
    pieces = models.ManyToManyField(Piece, related_name="jobs")
    complaint = models.CharField("what is wrong with it", max_length=400)
    ticket = models.CharField("the repairer's ticket", max_length=40, blank=True)
    orders = models.JSONField("standing orders", default=list)  # keys of core.repair_job.ORDERS
    order_words = models.CharField("further orders", max_length=400, blank=True)
    limit_minor = models.BigIntegerField("approved limit, minor units", null=True, blank=True)
    currency = models.CharField(max_length=3)
    sent_on = models.DateField()
    due_on = models.DateField("promised back", null=True, blank=True)

    objects = OfCollection.as_manager()

    class Meta:
        ordering = ["-sent_on", "-pk"]
        constraints = [
            models.CheckConstraint(
                condition=models.Q(limit_minor__isnull=True) | models.Q(limit_minor__gte=0),
                name="a_limit_is_not_below_nought",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.code} at {self.repairer}"

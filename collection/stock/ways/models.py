"""A kept way to make a stock last, with the figures it was chosen by."""

from django.db import models

from collection.ledger.models import OfCollection
from collection.stock.models import PartType
from registry.access.models import Collection


class ThriftPlan(models.Model):
    """What somebody means to do for one stock; inputs and figures stay as they were that day.

    `inputs`: what was changed, as the form sends it. `figures`: as things were and as they would
    be: spares, years at 10, 50 and 90 %, use a year, failures a show, spares left by year.
    """

    collection = models.ForeignKey(Collection, models.PROTECT, related_name="+")
    type = models.ForeignKey(PartType, models.PROTECT, related_name="thrift_plans")
    name = models.CharField(max_length=60)
    because = models.CharField("why", max_length=200, blank=True)
    inputs = models.JSONField(default=dict)
    figures = models.JSONField(default=dict)
    made_by = models.CharField(max_length=32)
    made_at = models.DateTimeField()

    objects = OfCollection.as_manager()

    class Meta:
        ordering = ["-made_at", "-pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["collection", "type", "name"], name="one_thrift_plan_a_name"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.name}, {self.type}"

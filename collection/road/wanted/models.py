"""What to look for and why, until something closes it."""

from django.db import models

from collection.ledger.models import OfCollection
from collection.road.models import Tour
from registry.access.models import Collection


class Wanted(models.Model):
    """One thing to get done or to find: what, why, since when, what closed it."""

    class How(models.TextChoices):
        INSPECT = "inspect", "inspect"
        SEND = "send", "send"
        SETTLE = "settle", "settle what bars it"
        PAPERS = "papers", "papers"
        HIRE = "hire", "hire"
        BUY = "buy", "buy"
        OTHER = "other", "other"

    collection = models.ForeignKey(Collection, models.PROTECT, related_name="+")
    code = models.CharField(max_length=40)
    how = models.CharField(max_length=8, choices=How, default=How.BUY)
    what = models.CharField(max_length=160)
    why = models.CharField(max_length=300)
    tour = models.ForeignKey(Tour, models.SET_NULL, null=True, blank=True, related_name="wanted")
    since = models.DateField()
    noted_by = models.CharField(max_length=32)
    closed_on = models.DateField(null=True, blank=True)
    closed_by = models.CharField("what closed it", max_length=200, blank=True)

    objects = OfCollection.as_manager()

    class Meta:
        ordering = ["closed_on", "-since", "code"]
        constraints = [
            models.UniqueConstraint(fields=["collection", "code"], name="one_wanted_a_code"),
            models.CheckConstraint(
                condition=models.Q(closed_on__isnull=True) | ~models.Q(closed_by=""),
                name="what_is_closed_says_by_what",
            ),
        ]

    def __str__(self) -> str:
        return self.what

"""Who is sent a seal every month, and what goes with it."""

from django.db import models

from collection.custody.models import Party
from collection.ledger.models import OfCollection
from registry import clock
from registry.access.models import Collection


class SealReader(models.Model):
    """A broker, a lawyer: a person or firm that gets each month's seal."""

    collection = models.ForeignKey(Collection, models.PROTECT, related_name="+")
    party = models.ForeignKey(Party, models.PROTECT, related_name="+")
    schedule = models.BooleanField("the list of pieces with agreed values", default=False)
    photos = models.BooleanField("pictures of the pieces", default=False)
    added_by = models.CharField(max_length=32)
    added_at = models.DateTimeField(default=clock.now, editable=False)

    objects = OfCollection.as_manager()

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.UniqueConstraint(fields=["collection", "party"], name="one_seal_reader_a_party")
        ]

    def __str__(self) -> str:
        return f"monthly seal to {self.party}"

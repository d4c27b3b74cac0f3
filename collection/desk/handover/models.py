"""What opens what, and who has it; never a code."""

from django.db import models

from collection.custody.models import Party
from collection.ledger.models import OfCollection
from registry.access.models import Collection


class HeldKey(models.Model):
    """A key, card or fob: what it opens and who has it. A row, since keys change hands daily."""

    collection = models.ForeignKey(Collection, models.PROTECT, related_name="+")
    opens = models.CharField("what it opens", max_length=120)
    held_by = models.ForeignKey(
        Party, models.PROTECT, null=True, blank=True, related_name="keys_held"
    )
    where = models.CharField("or where it hangs", max_length=120, blank=True)
    said_by = models.CharField(max_length=32, editable=False)
    said_at = models.DateTimeField(editable=False)

    objects = OfCollection.as_manager()

    class Meta:
        ordering = ["opens", "pk"]

    def __str__(self) -> str:
        return self.opens

    @property
    def who(self) -> str:
        """Who has it, else where it hangs."""
        parts = [self.held_by.name if self.held_by else "", self.where]
        return ", ".join(part for part in parts if part) or "nobody has said"

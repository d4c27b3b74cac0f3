"""A letter that waits to be sent, or was."""

from django.db import models

from collection.ledger.models import OfCollection
from registry.access.models import Collection, Membership


class Letter(models.Model):
    """One mail to one member; `key` says what it is about, so that it is written once."""

    collection = models.ForeignKey(Collection, models.PROTECT, related_name="letters")
    member = models.ForeignKey(Membership, models.PROTECT, related_name="+")
    key = models.CharField(max_length=60)
    address = models.EmailField()
    subject = models.CharField(max_length=120)
    body = models.TextField()
    made_at = models.DateTimeField()
    sent_at = models.DateTimeField(null=True, blank=True)
    tries = models.PositiveSmallIntegerField(default=0)
    last_error = models.CharField(max_length=200, blank=True)

    objects = OfCollection.as_manager()

    class Meta:
        ordering = ["made_at", "pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["collection", "member", "key"], name="one_letter_about_a_thing"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.subject}, to {self.member}"

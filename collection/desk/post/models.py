"""A letter that waits to be sent, or was."""

from django.db import models
from django.db.models import Q

from collection.custody.models import Party
from collection.ledger.models import OfCollection
from registry.access.models import Collection, Membership


class Letter(models.Model):
    """One mail to a member or a party; `key` says what it is about, so that it is written once."""

    collection = models.ForeignKey(Collection, models.PROTECT, related_name="letters")
    member = models.ForeignKey(Membership, models.PROTECT, null=True, related_name="+")
    party = models.ForeignKey(Party, models.PROTECT, null=True, related_name="+")
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
            models.UniqueConstraint(
                fields=["collection", "party", "key"], name="one_letter_a_party_about_a_thing"
            ),
            models.CheckConstraint(
                condition=Q(member__isnull=True, party__isnull=False)
                | Q(member__isnull=False, party__isnull=True),
                name="a_letter_has_one_reader",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.subject}, to {self.member or self.party}"


class Enclosure(models.Model):
    """What goes with a letter; its bytes are let go once the letter is sent."""

    letter = models.ForeignKey(Letter, models.CASCADE, related_name="enclosures")
    name = models.CharField(max_length=60)
    media_type = models.CharField(max_length=40)
    data = models.BinaryField()

    class Meta:
        ordering = ["pk"]

    def __str__(self) -> str:
        return f"{self.name}, with letter {self.letter_id}"

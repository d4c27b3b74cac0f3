"""Stocktakes and what was counted in them; what came of one stands in the book."""

import secrets
from datetime import date

from django.db import models

from collection.catalogue.models import Photo
from collection.core.stocktake import sign_by
from collection.custody.models import Place
from collection.ledger.models import OfCollection, Subject
from registry.access.models import Collection


def new_salt() -> str:
    """128 random bits: without them, who counts could reckon which five will be drawn."""
    return secrets.token_hex(16)


class Stocktake(models.Model):
    """A count of one place with everything under it; `expected` is the list as it was then."""

    subject = models.OneToOneField(
        Subject, models.PROTECT, primary_key=True, related_name="stocktake"
    )
    collection = models.ForeignKey(Collection, models.PROTECT, related_name="+")
    code = models.CharField(max_length=40)
    place = models.ForeignKey(Place, models.PROTECT, related_name="stocktakes")
    started_at = models.DateTimeField()
    started_by = models.CharField(max_length=32)
    first_entry = models.BigIntegerField()  # size of the book when it began
    salt = models.CharField(max_length=32, default=new_salt)
    expected = models.JSONField(default=dict)  # code -> code of the place
    done_at = models.DateTimeField(null=True, blank=True)
    done_by = models.CharField(max_length=32, blank=True)
    closed_at = models.DateTimeField(null=True, blank=True)
    closed_by = models.CharField(max_length=32, blank=True)
    entry = models.BigIntegerField(null=True)  # number of the `stocktaken` entry
    list_hash = models.CharField(max_length=64, blank=True)
    found = models.JSONField(default=dict)  # group -> codes, as closed
    given_up_at = models.DateTimeField(null=True, blank=True)

    objects = OfCollection.as_manager()

    class Meta:
        ordering = ["-started_at", "-pk"]
        constraints = [
            models.CheckConstraint(
                condition=models.Q(closed_at__isnull=True) | models.Q(done_at__isnull=False),
                name="a_stocktake_is_done_before_it_is_closed",
            ),
            models.CheckConstraint(
                condition=models.Q(closed_at__isnull=True) | models.Q(given_up_at__isnull=True),
                name="what_is_closed_is_not_given_up",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.code}, {self.place}"

    @property
    def running(self) -> bool:
        """Whether it is neither closed nor given up."""
        return self.closed_at is None and self.given_up_at is None

    @property
    def blind(self) -> bool:
        """Whether the count still goes on, and the list stays shut."""
        return self.running and self.done_at is None

    @property
    def sign_by(self) -> date | None:
        """The last day for the second signature, in the collection's zone."""
        if self.closed_at is None:
            return None
        return sign_by(self.closed_at.astimezone(self.collection.zone_info).date())


class CountMark(models.Model):
    """One thing seen in a stocktake: by its code, or without a label in words and a photo."""

    stocktake = models.ForeignKey(Stocktake, models.PROTECT, related_name="marks")
    thing = models.ForeignKey(Subject, models.PROTECT, null=True, blank=True, related_name="+")
    words = models.CharField("what it is", max_length=200, blank=True)
    photo = models.ForeignKey(Photo, models.PROTECT, null=True, blank=True, related_name="+")
    at = models.ForeignKey(Place, models.PROTECT, null=True, blank=True, related_name="+")
    seen_at = models.DateTimeField()
    by = models.CharField(max_length=32)
    late = models.BooleanField(default=False)  # added after the list had been seen
    once = models.CharField(max_length=64, null=True, blank=True)

    class Meta:
        ordering = ["seen_at", "pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["stocktake", "thing"],
                condition=models.Q(thing__isnull=False),
                name="a_thing_is_counted_once",
            ),
            models.UniqueConstraint(
                fields=["stocktake", "once"],
                condition=models.Q(once__isnull=False),
                name="a_mark_sent_twice_is_one",
            ),
            models.CheckConstraint(
                condition=models.Q(thing__isnull=False) | ~models.Q(words=""),
                name="a_mark_says_what_was_seen",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.thing or self.words} in {self.stocktake_id}"

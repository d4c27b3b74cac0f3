"""Faults; their condition stands in the book's state."""

from django.db import models

from collection.catalogue.models import Piece
from collection.ledger.models import OfCollection, Subject
from registry import clock
from registry.access.models import Collection


class Fault(models.Model):
    """A symptom of one piece, from its first showing until it is proven gone."""

    subject = models.OneToOneField(Subject, models.PROTECT, primary_key=True, related_name="fault")
    collection = models.ForeignKey(Collection, models.PROTECT, related_name="+")
    code = models.CharField(max_length=40)
    piece = models.ForeignKey(Piece, models.PROTECT, related_name="faults")
    symptom = models.CharField(max_length=160)
    proven_after_shows = models.PositiveSmallIntegerField(default=4)
    opened_at = models.DateTimeField(default=clock.now, editable=False)

    objects = OfCollection.as_manager()

    class Meta:
        ordering = ["-pk"]

    def __str__(self) -> str:
        return f"{self.code}: {self.symptom}"

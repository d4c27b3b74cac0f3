"""Papers that were made and handed out; the files themselves are not kept."""

from django.db import models

from collection.ledger.models import OfCollection, Subject
from registry.access.models import Collection


class PaperMade(models.Model):
    """One file that left the house: what it is, who made it, its hash, what of the book it shows.

    `entries`: numbers in the book, `left_out`: how many lines of the history it does not show.
    """

    class Paper(models.TextChoices):
        DOSSIER = "dossier"
        OBJECT_ID = "object-id", "Object ID sheet"
        GOODS_LIST = "goods-list", "list of goods"
        NOTICE = "notice", "theft notice"
        OFFICER = "officer", "officer's sheet"
        SCHEDULE = "schedule", "schedule of insured pieces"

    collection = models.ForeignKey(Collection, models.PROTECT, related_name="+")
    paper = models.CharField(max_length=12, choices=Paper)
    subject = models.ForeignKey(Subject, models.PROTECT, related_name="papers_made")
    for_whom = models.CharField("for whom", max_length=80, blank=True)
    made_at = models.DateTimeField()
    made_by = models.CharField(max_length=32)
    sha256 = models.CharField(max_length=64)
    byte_count = models.PositiveIntegerField()
    book_size = models.BigIntegerField()
    root = models.CharField(max_length=64)
    entries = models.JSONField(default=list)
    left_out = models.PositiveIntegerField(default=0)

    objects = OfCollection.as_manager()

    class Meta:
        ordering = ["-made_at", "-pk"]
        verbose_name_plural = "papers made"
        indexes = [models.Index(fields=["collection", "-made_at"], name="papers_made_newest")]

    def __str__(self) -> str:
        return f"{self.get_paper_display()} of {self.subject}"

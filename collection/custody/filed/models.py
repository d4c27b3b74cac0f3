"""A paper as it was filed; its bytes are known by their SHA-256."""

from django.db import models
from django.db.models import Q

from collection.catalogue.models import Photo
from collection.ledger.models import OfCollection, Subject
from registry.access.models import Collection


class FiledPaper(models.Model):
    """One file under an incident or a piece: a picture is kept as a photo, a PDF in the row."""

    collection = models.ForeignKey(Collection, models.PROTECT, related_name="+")
    subject = models.ForeignKey(Subject, models.PROTECT, related_name="papers_filed")
    title = models.CharField("what it is", max_length=120)
    from_whom = models.CharField("from whom", max_length=80, blank=True)
    sha256 = models.CharField(max_length=64)
    byte_count = models.PositiveIntegerField()
    photo = models.ForeignKey(Photo, models.PROTECT, null=True, related_name="+")
    data = models.BinaryField(null=True)
    entry = models.BigIntegerField()  # number of the entry that says it was filed
    filed_at = models.DateTimeField()
    filed_by = models.CharField(max_length=32)

    objects = OfCollection.as_manager()

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.UniqueConstraint(fields=["subject", "sha256"], name="one_paper_once_a_file"),
            models.CheckConstraint(
                condition=Q(photo__isnull=True, data__isnull=False)
                | Q(photo__isnull=False, data__isnull=True),
                name="a_paper_is_a_picture_or_a_pdf",
            ),
        ]

    def __str__(self) -> str:
        return self.title

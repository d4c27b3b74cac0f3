"""What a link to a paper opens."""

from django.db import models

from collection.ledger.models import OfCollection, Subject
from registry.access.models import Collection, ShareLink


class SharedPaper(models.Model):
    """One link's paper: which, of what, with values or not, and its bytes as they were made.

    A paper is kept as long as its link opens something, so that nobody reads more by it later
    than was chosen; `file` is empty for a page, which is made anew each time it is opened.
    """

    link = models.OneToOneField(
        ShareLink, models.CASCADE, primary_key=True, related_name="shared_paper"
    )
    collection = models.ForeignKey(Collection, models.PROTECT, related_name="+")
    subject = models.ForeignKey(Subject, models.PROTECT, related_name="+")
    paper = models.CharField("what is opened", max_length=16)
    title = models.CharField(max_length=160)
    values = models.BooleanField("with what it is worth", default=False)
    file = models.BinaryField(default=bytes)
    name = models.CharField("name of the file", max_length=120, blank=True)
    sha256 = models.CharField(max_length=64, blank=True)
    byte_count = models.PositiveIntegerField(default=0)

    objects = OfCollection.as_manager()

    class Meta:
        ordering = ["-pk"]

    def __str__(self) -> str:
        return f"{self.title}, {self.link}"

    @property
    def is_page(self) -> bool:
        """Whether it is a page rather than a file."""
        return not self.name

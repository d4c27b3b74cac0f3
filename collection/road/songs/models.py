"""Songs with the instruments they need, and set lists of tours and shows."""

from django.db import models

from collection.catalogue.models import Piece
from collection.ledger.models import OfCollection
from collection.road.models import Show, Tour
from registry.access.models import Collection


class Song(models.Model):
    """A song and the instruments that belong to it; amplifiers belong to positions."""

    collection = models.ForeignKey(Collection, models.PROTECT, related_name="+")
    code = models.SlugField(max_length=40)
    title = models.CharField(max_length=80)
    instruments = models.ManyToManyField(Piece, blank=True, related_name="songs")
    note = models.CharField("tuning, capo, what to know", max_length=120, blank=True)

    objects = OfCollection.as_manager()

    class Meta:
        ordering = ["title"]
        constraints = [
            models.UniqueConstraint(fields=["collection", "code"], name="one_song_a_code")
        ]

    def __str__(self) -> str:
        return self.title


class SetListEntry(models.Model):
    """One line of a set list: the tour's, or a show's own that takes its place."""

    tour = models.ForeignKey(Tour, models.CASCADE, related_name="set_list")
    show = models.ForeignKey(
        Show, models.CASCADE, null=True, blank=True, related_name="own_set_list"
    )
    number = models.PositiveSmallIntegerField()
    song = models.ForeignKey(Song, models.PROTECT, related_name="lines")

    class Meta:
        ordering = ["number"]
        constraints = [
            models.UniqueConstraint(
                fields=["tour", "number"],
                condition=models.Q(show__isnull=True),
                name="one_song_a_line_of_a_tour",
            ),
            models.UniqueConstraint(
                fields=["show", "number"],
                condition=models.Q(show__isnull=False),
                name="one_song_a_line_of_a_show",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.number} {self.song}"

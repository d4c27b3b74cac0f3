"""A count at the truck door, tap by tap; and the places where things are left behind."""

from django.db import models
from django.db.models import Q

from collection.custody.models import Place
from collection.ledger.models import OfCollection
from collection.road.models import Show
from registry import clock
from registry.access.models import Collection


class DoorCount(models.Model):
    """One load-out counted into one truck; what is to be counted is laid down at its start.

    The tiles are kept with the count, since cases move while it runs and a guest's page may look
    nothing else up.
    """

    collection = models.ForeignKey(Collection, models.PROTECT, related_name="+")
    show = models.ForeignKey(Show, models.PROTECT, related_name="door_counts")
    number = models.PositiveSmallIntegerField()
    truck = models.ForeignKey(Place, models.PROTECT, related_name="+")
    tiles = models.JSONField(default=list)  # [{"code": …, "name": …}, …] in order
    opened_at = models.DateTimeField(default=clock.now, editable=False)
    opened_by = models.CharField(max_length=32)
    closed_at = models.DateTimeField(null=True, blank=True)
    closed_by = models.CharField(max_length=32, blank=True)
    closed_name = models.CharField(max_length=80, blank=True)
    missed = models.JSONField("said to be not found", default=list, blank=True)

    objects = OfCollection.as_manager()

    class Meta:
        ordering = ["-opened_at"]
        constraints = [
            models.UniqueConstraint(fields=["show", "number"], name="one_door_count_a_number"),
            models.UniqueConstraint(
                fields=["show", "truck"],
                condition=Q(closed_at__isnull=True),
                name="one_open_count_a_truck",
            ),
        ]

    def __str__(self) -> str:
        return f"count {self.number} of {self.show}"

    @property
    def code(self) -> str:
        """What a share link names: the show and the number of the count."""
        return f"{self.show.code}/{self.number}"


class DoorTap(models.Model):
    """One tap on one tile: who, when; undone, it stays and counts no more."""

    count = models.ForeignKey(DoorCount, models.CASCADE, related_name="taps")
    code = models.CharField(max_length=40)
    at = models.DateTimeField()
    by = models.CharField(max_length=32)
    undone_at = models.DateTimeField(null=True, blank=True)
    undone_by = models.CharField(max_length=32, blank=True)

    class Meta:
        ordering = ["at", "pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["count", "code"],
                condition=Q(undone_at__isnull=True),
                name="a_tile_is_counted_once",
            )
        ]

    def __str__(self) -> str:
        return f"{self.code} at {self.at:%H:%M}"


class WalkList(models.Model):
    """A collection's own list of places where things are left behind."""

    collection = models.OneToOneField(
        Collection, models.PROTECT, primary_key=True, related_name="+"
    )
    spots = models.JSONField(default=list)  # lines, in the order of walking

    objects = OfCollection.as_manager()

    def __str__(self) -> str:
        return f"walk of {self.collection}"


class WalkTick(models.Model):
    """Somebody looked there after this show, and nothing of ours was left."""

    show = models.ForeignKey(Show, models.CASCADE, related_name="walked")
    spot = models.CharField(max_length=80)
    at = models.DateTimeField()
    by = models.CharField(max_length=32)

    class Meta:
        ordering = ["at", "pk"]
        constraints = [
            models.UniqueConstraint(fields=["show", "spot"], name="a_spot_is_walked_once")
        ]

    def __str__(self) -> str:
        return f"{self.spot}, {self.at:%H:%M}"

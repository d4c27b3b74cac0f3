"""Part types with data-sheet limits, lots, and parts or sets worth following."""

from django.db import models

from collection.ledger.models import OfCollection, Subject
from registry import clock
from registry.access.models import Collection

UNKNOWN = "unknown"  # the type of a part that nobody could tell


class PartType(models.Model):
    """A type with its limits, the rating system they rest on, and its equivalents."""

    class Clock(models.TextChoices):
        HT = "ht", "HT hours"
        HEATER = "heater", "heater hours"
        SHOWS = "shows"
        DAYS = "days", "days fitted"

    collection = models.ForeignKey(Collection, models.PROTECT, related_name="+")
    code = models.CharField(max_length=24)
    does = models.CharField("what it is", max_length=60, blank=True)
    base = models.CharField(max_length=16, blank=True)
    heater_volts = models.DecimalField(max_digits=4, decimal_places=1, null=True, blank=True)
    heater_amps = models.DecimalField(max_digits=4, decimal_places=2, null=True, blank=True)
    plate_watts = models.DecimalField(max_digits=5, decimal_places=1, null=True, blank=True)
    rating_system = models.CharField(max_length=24, blank=True)
    sheet = models.CharField("data sheet", max_length=120, blank=True)
    same_as = models.JSONField("exact equivalents", default=list, blank=True)
    near = models.JSONField("near types, with what differs", default=dict, blank=True)
    set_size = models.PositiveSmallIntegerField(default=1)  # fed in pairs, quads, or singly
    clock = models.CharField(max_length=8, choices=Clock, default=Clock.HT)
    noun = models.CharField("one of them is called", max_length=24, default="tube")

    objects = OfCollection.as_manager()

    class Meta:
        ordering = ["code"]
        constraints = [
            models.UniqueConstraint(fields=["collection", "code"], name="one_type_a_code"),
            models.CheckConstraint(
                condition=models.Q(set_size__gte=1), name="a_set_has_one_at_least"
            ),
        ]

    def __str__(self) -> str:
        return self.code

    @property
    def unit(self) -> str:
        """What its clock counts, in words behind a number."""
        return self.clock if self.clock in {self.Clock.SHOWS, self.Clock.DAYS} else "h"


class Lot(models.Model):
    """Alike unmarked parts bought together; its counts stand in the book's state."""

    subject = models.OneToOneField(Subject, models.PROTECT, primary_key=True, related_name="lot")
    collection = models.ForeignKey(Collection, models.PROTECT, related_name="+")
    code = models.CharField(max_length=40)
    type = models.ForeignKey(PartType, models.PROTECT, related_name="lots")
    brand = models.CharField(max_length=60, blank=True)
    marking = models.CharField("marking as seen", max_length=80, blank=True)
    origin = models.CharField("where it came from", max_length=160, blank=True)
    place = models.ForeignKey(Subject, models.PROTECT, null=True, blank=True, related_name="+")
    drawer = models.CharField(max_length=40, blank=True)
    in_sets = models.BooleanField("counted in matched sets", default=False)

    objects = OfCollection.as_manager()

    class Meta:
        ordering = ["code"]

    def __str__(self) -> str:
        return self.code


class Part(models.Model):
    """A part or matched set with a code of its own; where it is stands in the book's state."""

    class Origin(models.TextChoices):
        LOT = "lot", "from a lot"
        BOUGHT = "bought"
        DONOR = "donor", "out of a donor"
        CAME = "came", "came with a piece"
        UNKNOWN = "unknown", "nobody knows"

    subject = models.OneToOneField(Subject, models.PROTECT, primary_key=True, related_name="part")
    collection = models.ForeignKey(Collection, models.PROTECT, related_name="+")
    code = models.CharField(max_length=40)
    type = models.ForeignKey(PartType, models.PROTECT, related_name="parts")
    lot = models.ForeignKey(Lot, models.PROTECT, null=True, blank=True, related_name="parts")
    units = models.PositiveSmallIntegerField(default=1)
    marking = models.CharField("marking as seen", max_length=80, blank=True)
    hours_before = models.DecimalField(
        "hours it brought along", max_digits=8, decimal_places=1, default=0
    )
    heater_before = models.DecimalField(
        "heater hours it brought along", max_digits=8, decimal_places=1, default=0
    )
    origin = models.CharField(max_length=8, choices=Origin, default=Origin.LOT)
    belongs_to = models.ForeignKey(  # an original stays linked to its piece when it is out
        Subject, models.PROTECT, null=True, blank=True, related_name="own_parts"
    )

    objects = OfCollection.as_manager()

    class Meta:
        ordering = ["code"]

    def __str__(self) -> str:
        return self.code


class PullChoice(models.Model):
    """When a type is pulled, chosen by a person with a reason; nothing is chosen for them."""

    collection = models.ForeignKey(Collection, models.PROTECT, related_name="+")
    type = models.ForeignKey(PartType, models.CASCADE, related_name="pull_choices")
    pull_hours = models.PositiveIntegerField(null=True, blank=True)  # none: run until it fails
    because = models.CharField(max_length=200)
    chosen_by = models.CharField(max_length=32)
    chosen_at = models.DateTimeField(default=clock.now, editable=False)

    objects = OfCollection.as_manager()

    class Meta:
        ordering = ["-pk"]

    def __str__(self) -> str:
        return f"{self.type} at {self.pull_hours or 'failure'}"


class Outlook(models.Model):
    """What a collection assumes of a type beyond its log: losses, test share, use, alarms."""

    class LivesFrom(models.TextChoices):
        MAKER = "maker", "each maker apart"
        LOT = "lot", "each lot apart"
        ALL = "all", "all pooled"

    type = models.OneToOneField(PartType, models.CASCADE, related_name="outlook")
    collection = models.ForeignKey(Collection, models.PROTECT, related_name="+")
    passes_test = models.FloatField(null=True, blank=True)  # none: from the log
    shelf_loss_per_year = models.FloatField(default=0.0)
    bulk_losses_per_year = models.FloatField(default=0.0)
    bulk_loss_share = models.FloatField(default=0.0)
    shows_per_year = models.FloatField(null=True, blank=True)  # none: from the log
    hours_per_show = models.FloatField(null=True, blank=True)
    assumed_shape = models.FloatField(null=True, blank=True)
    assumed_scale_hours = models.FloatField(null=True, blank=True)
    alarm_years = models.FloatField(null=True, blank=True)
    alarm_units = models.PositiveIntegerField(null=True, blank=True)
    lives_from = models.CharField(max_length=8, choices=LivesFrom, default=LivesFrom.MAKER)

    objects = OfCollection.as_manager()

    def __str__(self) -> str:
        return f"outlook of {self.type}"

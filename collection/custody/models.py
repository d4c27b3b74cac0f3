"""Parties, places and incidents; what is where stands in the book's states."""

from django.db import models

from collection.ledger.models import OfCollection, Subject
from registry import clock
from registry.access.models import Collection


class Town(models.Model):
    """A town of the offline gazetteer; the same for all collections."""

    name = models.CharField(max_length=120)
    search = models.CharField(max_length=120, db_index=True)
    country = models.CharField(max_length=2)
    latitude = models.FloatField()
    longitude = models.FloatField()
    zone = models.CharField(max_length=64)
    population = models.PositiveIntegerField(default=0)

    class Meta:
        ordering = ["-population"]

    def __str__(self) -> str:
        return f"{self.name}, {self.country}"


class Party(models.Model):
    """A person or firm; personal data lives here only and can be erased."""

    subject = models.OneToOneField(Subject, models.PROTECT, primary_key=True, related_name="party")
    collection = models.ForeignKey(Collection, models.PROTECT, related_name="+")
    code = models.CharField(max_length=40)
    name = models.CharField(max_length=80)
    does = models.CharField("what they are here", max_length=60, blank=True)
    outward = models.CharField("role named to outsiders", max_length=60, blank=True)
    phone = models.CharField(max_length=40, blank=True)
    email = models.EmailField(blank=True)
    note = models.CharField(max_length=200, blank=True)

    objects = OfCollection.as_manager()

    class Meta:
        ordering = ["name"]
        verbose_name_plural = "parties"

    def __str__(self) -> str:
        return self.name


class Place(models.Model):
    """A node of the tree of places; a case or truck is a place that moves."""

    class Kind(models.TextChoices):
        SITE = "site"
        ROOM = "room"
        SHELF = "shelf"
        VENUE = "venue"
        HOUSE = "house"
        WORKSHOP = "workshop"
        TRUCK = "truck"
        CASE = "case"
        ON_THE_WAY = "way", "on the way"  # made by a shipment, never by hand

    subject = models.OneToOneField(
        Subject, models.PROTECT, primary_key=True, related_name="place_row"
    )
    collection = models.ForeignKey(Collection, models.PROTECT, related_name="+")
    code = models.CharField(max_length=40)
    name = models.CharField(max_length=80)
    kind = models.CharField(max_length=8, choices=Kind)
    inside = models.ForeignKey("self", models.PROTECT, null=True, blank=True, related_name="holds")
    path = models.CharField(max_length=400, default="", editable=False)  # '/P-001/P-004/'
    town = models.CharField(max_length=120, blank=True)
    country = models.CharField(max_length=2, blank=True)
    latitude = models.FloatField(null=True, blank=True)
    longitude = models.FloatField(null=True, blank=True)
    zone = models.CharField(max_length=64, blank=True)
    private = models.BooleanField(default=False)
    hours = models.CharField("when somebody is there", max_length=80, blank=True)
    opens_minutes = models.PositiveSmallIntegerField("minutes until it can leave", default=30)

    objects = OfCollection.as_manager()

    class Meta:
        ordering = ["path"]
        constraints = [
            models.CheckConstraint(
                condition=(
                    models.Q(latitude__isnull=True, longitude__isnull=True)
                    | models.Q(
                        latitude__gte=-90,
                        latitude__lte=90,
                        longitude__gte=-180,
                        longitude__lte=180,
                    )
                ),
                name="a_place_is_on_earth",
            )
        ]

    def __str__(self) -> str:
        return self.name

    @property
    def moves(self) -> bool:
        """Whether the place itself travels."""
        return self.kind in {self.Kind.TRUCK, self.Kind.CASE}

    def nearest(self, what: str) -> str:
        """'town', 'country' or 'zone' of the place, else of the nearest one around it."""
        place: Place | None = self
        while place is not None and not getattr(place, what):
            place = place.inside
        return getattr(place, what) if place else ""


class Incident(models.Model):
    """A theft or loss with all pieces in it; which pieces stands in the book."""

    class Kind(models.TextChoices):
        THEFT = "theft"
        LOSS = "loss"

    class Report(models.TextChoices):
        NOT_YET = "not-yet", "not reported yet"
        PENDING = "pending", "reported, reference pending"
        REPORTED = "reported", "reported, with reference"

    subject = models.OneToOneField(
        Subject, models.PROTECT, primary_key=True, related_name="incident"
    )
    collection = models.ForeignKey(Collection, models.PROTECT, related_name="+")
    code = models.CharField(max_length=40)
    kind = models.CharField(max_length=8, choices=Kind, default=Kind.THEFT)
    place = models.ForeignKey(Subject, models.PROTECT, null=True, blank=True, related_name="+")
    place_words = models.CharField("where", max_length=160, blank=True)
    last_seen = models.CharField("last seen", max_length=64, blank=True)  # EDTF, with time
    found_gone = models.CharField("found gone", max_length=64, blank=True)
    how = models.TextField("what happened", blank=True)
    entry_words = models.CharField("how they got in", max_length=200, blank=True)
    keys_words = models.CharField("who had keys", max_length=200, blank=True)
    report = models.CharField(max_length=8, choices=Report, default=Report.NOT_YET)
    police_station = models.CharField(max_length=120, blank=True)
    police_reference = models.CharField(max_length=60, blank=True)
    contact_words = models.CharField(
        "contact on the notice, a role", max_length=120, default="the gear desk"
    )
    contact_reach = models.CharField("telephone or mail on the notice", max_length=120, blank=True)
    held_back = models.JSONField("marks held back, by piece code", default=dict, blank=True)
    photos = models.JSONField("photo on the notice, by piece code", default=dict, blank=True)
    steps = models.JSONField("what has been done", default=dict, blank=True)
    opened_at = models.DateTimeField(default=clock.now, editable=False)

    objects = OfCollection.as_manager()

    class Meta:
        ordering = ["-pk"]

    def __str__(self) -> str:
        return self.code

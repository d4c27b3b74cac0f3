"""Policies, what is insured under them, and where trucks stood overnight."""

from django.db import models

from collection.catalogue.models import Piece
from collection.core.insurance import TERMS
from collection.custody.models import Party, Place
from collection.ledger.models import OfCollection, Subject
from registry.access.models import Collection


class Policy(models.Model):
    """A policy as its paper has it; amounts in minor units of its one currency."""

    subject = models.OneToOneField(Subject, models.PROTECT, primary_key=True, related_name="policy")
    collection = models.ForeignKey(Collection, models.PROTECT, related_name="+")
    code = models.CharField("our reference", max_length=40)
    insurer = models.ForeignKey(Party, models.PROTECT, related_name="policies")
    number = models.CharField("policy number", max_length=60, blank=True)
    begins_on = models.DateField()
    ends_on = models.DateField()
    countries = models.CharField(max_length=240, blank=True)  # 'GB NO DK', '' for the world
    currency = models.CharField(max_length=3)
    per_vehicle_minor = models.BigIntegerField("limit in one vehicle", null=True, blank=True)
    per_place_minor = models.BigIntegerField("limit in one place", null=True, blank=True)
    per_item_minor = models.BigIntegerField("limit for one piece", null=True, blank=True)
    excess_minor = models.BigIntegerField("excess", null=True, blank=True)
    notice_hours = models.PositiveSmallIntegerField("hours of notice", null=True, blank=True)
    terms = models.JSONField("asked of a vehicle overnight", default=list, blank=True)
    other_terms = models.CharField(max_length=400, blank=True)

    objects = OfCollection.as_manager()

    class Meta:
        ordering = ["-begins_on", "code"]
        verbose_name_plural = "policies"
        constraints = [
            models.CheckConstraint(
                condition=models.Q(begins_on__lte=models.F("ends_on")),
                name="a_policy_ends_after_it_begins",
            )
        ]

    def __str__(self) -> str:
        return f"{self.code}, {self.insurer.name}"

    @property
    def territory(self) -> list[str]:
        """Country codes it holds in; empty for the whole world."""
        return self.countries.split()

    @property
    def terms_in_words(self) -> list[str]:
        """What it asks of a vehicle left overnight."""
        return [words for key, words in TERMS.items() if key in self.terms]


class Insured(models.Model):
    """A piece under a policy from a day on; at any moment a piece stands under one at most.

    Source: Spectrum 5.1, Insurance and indemnity: an object has one insurance reference number.
    """

    policy = models.ForeignKey(Policy, models.PROTECT, related_name="insured")
    piece = models.ForeignKey(Piece, models.PROTECT, related_name="insured")
    since = models.DateField()
    until = models.DateField(null=True, blank=True)  # the first day it is not covered any more

    class Meta:
        ordering = ["piece__code", "since"]
        verbose_name_plural = "insured"
        constraints = [
            models.UniqueConstraint(
                fields=["piece"],
                condition=models.Q(until__isnull=True),
                name="one_policy_at_a_time",
            )
        ]

    def __str__(self) -> str:
        return f"{self.piece.code} under {self.policy.code}"


class TruckNight(models.Model):
    """Where a truck stood from one moment until another, and how it was kept."""

    collection = models.ForeignKey(Collection, models.PROTECT, related_name="+")
    truck = models.ForeignKey(Place, models.PROTECT, related_name="nights")
    where = models.CharField(max_length=120)
    since = models.DateTimeField()
    until = models.DateTimeField(null=True, blank=True)
    zone = models.CharField(max_length=64)
    said = models.JSONField("how it was kept, by term", default=dict)  # 'yes' or 'no'
    with_it = models.CharField("who stayed with it", max_length=80, blank=True)
    entry = models.BigIntegerField()
    by = models.CharField(max_length=32)

    objects = OfCollection.as_manager()

    class Meta:
        ordering = ["-since", "-pk"]
        indexes = [models.Index(fields=["collection", "-since"], name="truck_nights_newest")]

    def __str__(self) -> str:
        return f"{self.truck.code} in {self.where}, {self.since:%Y-%m-%d}"

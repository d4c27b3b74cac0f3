"""Materials of a piece part by part, certificates of instruments and their crossings."""

from django.db import models

from collection.catalogue.models import Piece
from collection.core.permit import STALE_MONTHS
from collection.ledger.models import OfCollection, Subject
from registry.access.models import Collection


class PartMaterial(models.Model):
    """What one part of a piece is made of; a species that nobody knows stays empty."""

    piece = models.ForeignKey(Piece, models.PROTECT, related_name="part_materials")
    part = models.CharField(max_length=60)
    trade = models.CharField("name in the trade", max_length=60, blank=True)
    scientific = models.CharField("scientific name", max_length=80, blank=True)
    evidence = models.CharField("what shows it", max_length=200, blank=True)
    acquired_by = models.DateField("acquired by, as that shows", null=True, blank=True)
    natural = models.BooleanField("from a plant or an animal", default=True)
    loose = models.BooleanField("a spare or blank that travels loose", default=False)
    entry = models.BigIntegerField()

    class Meta:
        ordering = ["pk"]

    def __str__(self) -> str:
        return f"{self.part} of {self.piece}"


class PieceAbroad(models.Model):
    """What a piece is meant for beyond playing: for sale, or handed to somebody abroad."""

    piece = models.OneToOneField(Piece, models.PROTECT, primary_key=True, related_name="abroad")
    for_sale = models.BooleanField("for sale or consigned", default=False)
    handed_over = models.CharField("handed over abroad, to whom", max_length=120, blank=True)

    def __str__(self) -> str:
        return f"{self.piece} abroad"


class InstrumentCertificate(models.Model):
    """A musical instrument certificate: one instrument, one holder, up to three years."""

    subject = models.OneToOneField(
        Subject, models.PROTECT, primary_key=True, related_name="certificate"
    )
    collection = models.ForeignKey(Collection, models.PROTECT, related_name="+")
    code = models.CharField(max_length=40)
    piece = models.ForeignKey(Piece, models.PROTECT, related_name="certificates")
    number = models.CharField("number on the paper", max_length=40)
    authority = models.CharField("issuing authority", max_length=120)
    state = models.CharField("issuing state", max_length=2)
    holder = models.CharField(max_length=80)
    issued_on = models.DateField()
    expires_on = models.DateField()
    return_by = models.DateField("back in the issuing state by", null=True, blank=True)
    sheet = models.CharField("number of the continuation sheet", max_length=40, blank=True)

    objects = OfCollection.as_manager()

    class Meta:
        ordering = ["expires_on"]
        constraints = [
            models.CheckConstraint(
                condition=models.Q(expires_on__gt=models.F("issued_on")),
                name="a_certificate_ends_after_its_issue",
            )
        ]

    def __str__(self) -> str:
        return f"certificate {self.number}"


class CertificateSpecies(models.Model):
    """A part on a certificate: scientific name, appendix, the date its evidence gives."""

    certificate = models.ForeignKey(InstrumentCertificate, models.CASCADE, related_name="species")
    part = models.CharField(max_length=60)
    scientific = models.CharField("scientific name", max_length=80)
    appendix = models.CharField(max_length=3, choices=[("I", "I"), ("II", "II"), ("III", "III")])
    acquired_on = models.DateField("date of the evidence", null=True, blank=True)

    class Meta:
        ordering = ["pk"]
        verbose_name_plural = "certificate species"

    def __str__(self) -> str:
        return f"{self.part}, {self.scientific}"


class CertificateCrossing(models.Model):
    """A crossing on a certificate's continuation sheet."""

    certificate = models.ForeignKey(InstrumentCertificate, models.PROTECT, related_name="crossings")
    on = models.DateField()
    place = models.CharField("port or office", max_length=80)
    country = models.CharField(max_length=2)
    direction = models.CharField(max_length=3, choices=[("out", "leaving"), ("in", "coming in")])
    stamped = models.BooleanField("stamped and signed")
    entry = models.BigIntegerField()

    class Meta:
        ordering = ["on", "pk"]

    def __str__(self) -> str:
        return f"{self.get_direction_display()}, {self.country}, {self.on:%Y-%m-%d}"


class PermitRules(models.Model):
    """After how many months a collection wants the table of species read again."""

    collection = models.OneToOneField(
        Collection, models.PROTECT, primary_key=True, related_name="+"
    )
    stale_months = models.PositiveSmallIntegerField(
        "warn when the table is older than so many months", default=STALE_MONTHS
    )

    objects = OfCollection.as_manager()

    class Meta:
        verbose_name_plural = "permit rules"

    def __str__(self) -> str:
        return f"permit rules of {self.collection}"

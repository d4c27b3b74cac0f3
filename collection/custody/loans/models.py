"""Loans; which pieces are still out stands in the book's states."""

from django.db import models

from collection.catalogue.models import Piece
from collection.custody.models import Party, Place
from collection.ledger.models import OfCollection, Subject
from registry.access.models import Collection


class Loan(models.Model):
    """A loan or hire for a fixed time: why, who covers it, who said yes."""

    class Way(models.TextChoices):
        OUT = "out", "lent out"
        BORROWED = "borrowed", "borrowed"
        HIRED = "hired", "hired in"

    subject = models.OneToOneField(Subject, models.PROTECT, primary_key=True, related_name="loan")
    collection = models.ForeignKey(Collection, models.PROTECT, related_name="+")
    code = models.CharField(max_length=40)
    way = models.CharField(max_length=8, choices=Way)
    party = models.ForeignKey(Party, models.PROTECT, related_name="loans")
    at = models.ForeignKey(Place, models.PROTECT, null=True, blank=True, related_name="+")
    reason = models.CharField(max_length=200)
    begins_on = models.DateField()
    ends_on = models.DateField()  # a loan without an end is a gift
    value_minor = models.BigIntegerField("insured value", null=True, blank=True)
    currency = models.CharField(max_length=3)
    insurer = models.CharField("who covers it", max_length=120, blank=True)
    evidence = models.CharField("what shows it", max_length=200, blank=True)
    price = models.CharField(max_length=60, blank=True)
    authorised_by = models.CharField(max_length=80)

    objects = OfCollection.as_manager()

    class Meta:
        ordering = ["-begins_on", "-pk"]
        constraints = [
            models.CheckConstraint(
                condition=models.Q(ends_on__gte=models.F("begins_on")),
                name="a_loan_ends_after_it_begins",
            ),
            models.CheckConstraint(
                condition=models.Q(value_minor__isnull=True) | models.Q(value_minor__gte=0),
                name="a_loan_is_not_worth_less_than_nothing",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.code}, {self.party}"

    @property
    def lent(self) -> bool:
        """Whether it is our piece with somebody else."""
        return self.way == self.Way.OUT


class LoanedPiece(models.Model):
    """One piece of a loan: how it was, and how it was afterwards."""

    loan = models.ForeignKey(Loan, models.PROTECT, related_name="pieces")
    piece = models.ForeignKey(Piece, models.PROTECT, related_name="loaned")
    goes_with = models.JSONField("what goes with it", default=list)
    condition_out = models.CharField("how it was handed over", max_length=400, blank=True)
    condition_in = models.CharField("how it was given back", max_length=400, blank=True)
    out_entry = models.BigIntegerField()  # the entry its first photos are evidence for
    back_entry = models.BigIntegerField(null=True, blank=True)
    back_on = models.DateField(null=True, blank=True)

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.UniqueConstraint(fields=["loan", "piece"], name="a_piece_is_on_a_loan_once")
        ]

    def __str__(self) -> str:
        return f"{self.piece} on {self.loan.code}"

"""How far apart tubes of one set may be, as a collection chose it."""

from decimal import Decimal

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models

from collection.ledger.models import OfCollection
from registry.access.models import Collection

TEN_PERCENT = Decimal("10")
LIMITS = [MinValueValidator(Decimal("0.1")), MaxValueValidator(Decimal(50))]


class MatchRule(models.Model):
    """Tolerances in percent of the larger reading, current and gm apart, with their basis."""

    collection = models.OneToOneField(Collection, models.PROTECT, related_name="+")
    current_percent = models.DecimalField(
        max_digits=4, decimal_places=1, default=TEN_PERCENT, validators=LIMITS
    )
    gm_percent = models.DecimalField(
        max_digits=4, decimal_places=1, default=TEN_PERCENT, validators=LIMITS
    )
    basis = models.CharField(max_length=200, default="common practice, no standard")
    chosen_by = models.CharField(max_length=32)
    chosen_at = models.DateTimeField()

    objects = OfCollection.as_manager()

    def __str__(self) -> str:
        return f"{self.current_percent} % current, {self.gm_percent} % gm"

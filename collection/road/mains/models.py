"""Mains of a country as a collection has written it, over the table that comes with the site."""

from django.core.validators import RegexValidator
from django.db import models

from collection.ledger.models import OfCollection
from registry.access.models import Collection


class CountryMains(models.Model):
    """What a wall socket of a country gives, who says so, as of when."""

    collection = models.ForeignKey(Collection, models.PROTECT, related_name="+")
    country = models.CharField(
        max_length=2,
        validators=[RegexValidator(r"^[A-Z]{2}\Z", "Two capital letters, such as NO.")],
    )
    volts = models.PositiveSmallIntegerField()
    hertz = models.PositiveSmallIntegerField(null=True, blank=True)
    source = models.CharField(max_length=120)
    as_of = models.DateField()

    objects = OfCollection.as_manager()

    class Meta:
        ordering = ["country"]
        constraints = [
            models.UniqueConstraint(fields=["collection", "country"], name="one_supply_a_country")
        ]

    def __str__(self) -> str:
        return f"{self.country}: {self.volts} V"

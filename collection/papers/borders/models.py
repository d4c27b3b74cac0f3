"""What stands on a carnet beside pieces, and each crossing with its counterfoil."""

from django.db import models

from collection.catalogue.models import Photo
from collection.core.border import DIRECTIONS
from collection.core.customs import CABLES, OTHER, TOOLS
from collection.ledger.models import OfCollection
from collection.road.carnet.models import Carnet
from registry.access.models import Collection


class ListedGoods(models.Model):
    """Goods on a carnet's list that have no code: a set of cables, a tool kit, stands."""

    class Kind(models.TextChoices):
        CABLES = CABLES, "a set of cables"
        TOOLS = TOOLS, "a kit of hand tools"
        OTHER = OTHER, "something else"

    carnet = models.ForeignKey(Carnet, models.CASCADE, related_name="goods")
    kind = models.CharField(max_length=8, choices=Kind, default=Kind.OTHER)
    what = models.CharField("trade description", max_length=120)
    count = models.PositiveSmallIntegerField("how many, all the same", default=1)
    inside = models.PositiveSmallIntegerField("how many tools are in it", null=True, blank=True)
    grams = models.PositiveIntegerField("mass of one", null=True, blank=True)
    value_minor = models.BigIntegerField("value of one", null=True, blank=True)
    made_in = models.CharField("country of manufacture", max_length=2, blank=True)

    class Meta:
        ordering = ["pk"]
        verbose_name_plural = "listed goods"

    def __str__(self) -> str:
        return self.what


class CarnetCrossing(models.Model):
    """A crossing on a carnet: where, which way, its voucher, stamped or not, and put right how."""

    collection = models.ForeignKey(Collection, models.PROTECT, related_name="+")
    carnet = models.ForeignKey(Carnet, models.PROTECT, related_name="crossings")
    on = models.DateField()
    place = models.CharField("customs office or port", max_length=80)
    country = models.CharField(max_length=2)
    direction = models.CharField(max_length=9, choices=DIRECTIONS.items())
    voucher = models.CharField(max_length=20, blank=True)
    items = models.CharField("item numbers, when not all", max_length=80, blank=True)
    stamped = models.BooleanField("the counterfoil is stamped")
    out_by = models.DateField("last day of re-export", null=True, blank=True)
    photo = models.ForeignKey(Photo, models.PROTECT, null=True, blank=True, related_name="+")
    entry = models.BigIntegerField()
    by = models.CharField(max_length=32)
    put_right_on = models.DateField(null=True, blank=True)
    put_right_how = models.CharField(max_length=300, blank=True)

    objects = OfCollection.as_manager()

    class Meta:
        ordering = ["on", "pk"]
        indexes = [models.Index(fields=["collection", "stamped"], name="crossings_not_stamped")]

    def __str__(self) -> str:
        return f"{self.get_direction_display()}, {self.country}, {self.on:%Y-%m-%d}"

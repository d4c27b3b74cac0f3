"""What a case is by itself, and the kit that belongs in it: counted, uncoded things."""

from django.db import models

from collection.custody.models import Place


class CaseSheet(models.Model):
    """What is known of a case itself; which pieces belong in it is each piece's usual place."""

    place = models.OneToOneField(Place, models.CASCADE, primary_key=True, related_name="case_sheet")
    tare_grams = models.PositiveIntegerField("mass when empty", null=True, blank=True)
    size = models.CharField("outside size", max_length=60, blank=True)

    def __str__(self) -> str:
        return f"sheet of {self.place}"


class KitLine(models.Model):
    """Things in a case that have no code: how many there should be, and how many were counted."""

    place = models.ForeignKey(Place, models.CASCADE, related_name="kit")
    order = models.PositiveSmallIntegerField()
    what = models.CharField(max_length=80)
    due = models.PositiveSmallIntegerField("how many belong in it")
    there = models.PositiveSmallIntegerField("how many were counted", null=True, blank=True)
    counted_at = models.DateTimeField(null=True, blank=True)
    counted_by = models.CharField(max_length=32, blank=True)

    class Meta:
        ordering = ["order"]
        constraints = [
            models.UniqueConstraint(fields=["place", "what"], name="one_kit_line_a_case_and_thing")
        ]

    def __str__(self) -> str:
        return f"{self.due} {self.what}"

    @property
    def short(self) -> bool:
        """Whether fewer were counted than belong in it."""
        return self.there is not None and self.there < self.due

"""What somebody has ticked on a list of a tour."""

from django.db import models

from collection.road.models import Tour


class ListTick(models.Model):
    """One line done, by whom, when; taking the tick off removes the row.

    `line` names the reason and the thing, so that a line that comes back next tour is open again.
    """

    tour = models.ForeignKey(Tour, models.CASCADE, related_name="ticked")
    line = models.CharField(max_length=120)
    at = models.DateTimeField()
    by = models.CharField(max_length=32)

    class Meta:
        ordering = ["at", "pk"]
        constraints = [
            models.UniqueConstraint(fields=["tour", "line"], name="a_line_is_ticked_once")
        ]

    def __str__(self) -> str:
        return f"{self.line}, {self.at:%d %b %H:%M}"

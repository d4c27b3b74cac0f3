"""Service plans: what is due how often, on which pieces, and why so."""

from django.db import models

from collection.catalogue.models import Design, Piece, PieceKind
from collection.core.due import MEASURES, spoken_interval
from collection.ledger.models import OfCollection
from registry.access.models import Collection


class ServicePlan(models.Model):
    """Work that comes round: a person chose the interval, with a reason; the basis is shown."""

    class DoneBy(models.TextChoices):
        SERVICED = "serviced", "a line in the book that it was done"
        INSPECTED = "inspected", "a check that it works"
        SAFETY_TESTED = "safety_tested", "a mains safety test"

    collection = models.ForeignKey(Collection, models.PROTECT, related_name="+")
    what = models.CharField("what is done", max_length=60)
    kind = models.CharField("kind of piece", max_length=12, choices=PieceKind, blank=True)
    family = models.CharField("families, between commas", max_length=40, blank=True)
    design = models.ForeignKey(Design, models.CASCADE, null=True, blank=True, related_name="+")
    piece = models.ForeignKey(Piece, models.CASCADE, null=True, blank=True, related_name="plans")
    every = models.DecimalField("interval", max_digits=7, decimal_places=1)
    measured_by = models.CharField(max_length=12, choices=list(MEASURES.items()))
    after_what = models.CharField("after which other work", max_length=60, blank=True)
    done_by = models.CharField(max_length=14, choices=DoneBy, default=DoneBy.SERVICED)
    asks = models.CharField("what to measure or look at", max_length=160, blank=True)
    opens = models.BooleanField("a hand goes inside", default=False)
    consumes = models.CharField("what one time uses up", max_length=60, blank=True)
    basis = models.CharField("what the interval rests on", max_length=300)
    reason = models.CharField("why this interval here", max_length=200)
    chosen_by = models.CharField(max_length=32)
    chosen_at = models.DateTimeField()
    begun_at = models.DateTimeField()  # work before it is no debt of a plan 'after' other work
    note = models.CharField(max_length=200, blank=True)
    active = models.BooleanField(default=True)

    objects = OfCollection.as_manager()

    class Meta:
        ordering = ["what", "pk"]
        constraints = [
            models.CheckConstraint(
                condition=models.Q(every__gt=0), name="an_interval_is_more_than_nought"
            ),
        ]

    def __str__(self) -> str:
        return self.what

    @property
    def for_what(self) -> str:
        """The pieces it is for, in words."""
        if self.piece:
            return str(self.piece)
        narrow = (str(self.design or ""), self.family, self.get_kind_display() if self.kind else "")
        return next((words for words in narrow if words), "every piece")

    @property
    def how_often(self) -> str:
        """The interval in words."""
        return spoken_interval(self.every, self.measured_by, self.after_what)

    @property
    def one_press(self) -> bool:
        """Whether a press is enough: nothing to measure and no hand inside."""
        return not (self.recorded_as or self.asks or self.opens)

    @property
    def recorded_as(self) -> str:
        """The kind of entry that does it in place of a plain line, '' where that is enough."""
        return "" if self.done_by == self.DoneBy.SERVICED else self.done_by

    def fits(self, piece: Piece) -> bool:
        """Whether it is for this piece; every narrowing that is given must hold."""
        return (
            self.piece_id in (None, piece.pk)
            and self.design_id in (None, piece.design_id)
            and (not self.kind or self.kind == piece.kind)
            and of_family(piece, self.family)
        )


def of_family(piece: Piece, words: str) -> bool:
    """Whether a word between commas is part of its family or its design's; no word fits all."""
    drawn = piece.design.family if piece.design else ""
    own = f"{piece.family} {drawn}".casefold()
    wanted = [word.strip() for word in words.casefold().split(",")]
    return not any(wanted) or any(word in own for word in wanted if word)

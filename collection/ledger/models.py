"""The tables of the book; Mention, State, Branch and the placed dates are derived."""

import secrets

from django.db import models
from django.db.models import F, Q

from collection.core.events import choices
from registry.access.models import Collection


def new_salt() -> str:
    """128 random bits as 32 hex digits."""
    return secrets.token_hex(16)


class OfCollection(models.QuerySet):
    """Rows of one collection; every read of the domain starts with it."""

    def of(self, collection: Collection) -> "OfCollection":
        return self.filter(collection=collection)


class Head(models.Model):
    """Size and frontier of a book; the row that serialises appending."""

    collection = models.OneToOneField(Collection, models.PROTECT, primary_key=True)
    size = models.BigIntegerField(default=0)
    frontier = models.JSONField(default=list)  # hex roots of the full subtrees, largest first

    objects = OfCollection.as_manager()


class Subject(models.Model):
    """A code and what it means, for ever; never deleted and never renamed."""

    collection = models.ForeignKey(Collection, models.PROTECT, related_name="+")
    code = models.CharField(max_length=40)
    kind = models.CharField(max_length=12)

    objects = OfCollection.as_manager()

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["collection", "code"], name="a_code_means_one_thing")
        ]

    def __str__(self) -> str:
        return self.code


class Event(models.Model):
    """One entry of the book; only its words may ever be taken out, never changed."""

    class Source(models.TextChoices):
        SEEN = "seen"
        DOCUMENT = "document"
        TOLD = "told"
        INFERRED = "inferred"

    class Certainty(models.TextChoices):
        CERTAIN = "certain"
        LIKELY = "likely"
        DOUBTFUL = "doubtful"

    collection = models.ForeignKey(Collection, models.PROTECT, related_name="+")
    sequence = models.BigIntegerField()
    subject = models.ForeignKey(Subject, models.PROTECT, related_name="entries")
    kind = models.CharField(max_length=24, choices=choices)
    facts = models.JSONField()
    facts_version = models.SmallIntegerField(default=1)
    names = models.JSONField(default=dict)
    happened = models.CharField(max_length=64, blank=True)
    earliest = models.DateField(null=True)
    latest = models.DateField(null=True)
    placed_us = models.BigIntegerField(default=-1)
    recorded_at = models.DateTimeField()
    written_at = models.DateTimeField(null=True)
    recorded_by = models.CharField(max_length=32)
    source = models.CharField(max_length=10, choices=Source)
    source_note = models.CharField(max_length=200, blank=True)
    certainty = models.CharField(max_length=10, choices=Certainty)
    corrects = models.BigIntegerField(null=True)
    answers = models.BigIntegerField(null=True)
    words = models.TextField(blank=True)
    words_salt = models.CharField(max_length=32, default=new_salt)
    words_hash = models.CharField(max_length=64)
    act = models.CharField(max_length=32)
    once = models.CharField(max_length=64, null=True)
    salt = models.CharField(max_length=32, default=new_salt)
    leaf = models.CharField(max_length=64)

    objects = OfCollection.as_manager()

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["collection", "sequence"], name="no_number_twice"),
            models.UniqueConstraint(
                fields=["collection", "corrects"],
                condition=Q(corrects__isnull=False),
                name="a_line_does_not_fork",
            ),
            models.UniqueConstraint(
                fields=["collection", "once"],
                condition=Q(once__isnull=False),
                name="sent_twice_is_written_once",
            ),
            models.CheckConstraint(condition=Q(sequence__gte=0), name="numbers_start_at_nought"),
            models.CheckConstraint(
                condition=Q(corrects__isnull=True) | Q(corrects__lt=F("sequence")),
                name="a_correction_looks_back",
            ),
        ]
        indexes = [
            models.Index(fields=["collection", "kind", "sequence"], name="entries_of_a_kind"),
            models.Index(fields=["subject", "sequence"], name="entries_on_a_subject"),
            models.Index(fields=["collection", "sequence", "leaf"], name="leaves_in_order"),
        ]

    def __str__(self) -> str:
        return f"entry {self.sequence}, {self.kind}"


class Mention(models.Model):
    """A subject that an entry names, in a role; lists a thing's whole history."""

    subject = models.ForeignKey(Subject, models.PROTECT, related_name="mentions")
    entry = models.ForeignKey(Event, models.PROTECT, related_name="mentions")
    role = models.CharField(max_length=24)
    placed_us = models.BigIntegerField()

    class Meta:
        constraints = [models.UniqueConstraint(fields=["entry", "role"], name="one_mention_a_role")]
        indexes = [
            models.Index(fields=["subject", "placed_us", "entry"], name="history_of_a_subject")
        ]

    def __str__(self) -> str:
        return f"{self.subject_id} as {self.role} in {self.entry_id}"


class State(models.Model):
    """Where a subject's history has led; typed columns for lists, the whole in `detail`."""

    subject = models.OneToOneField(Subject, models.PROTECT, primary_key=True, related_name="state")
    collection = models.ForeignKey(Collection, models.PROTECT, related_name="+")
    standing = models.CharField(max_length=12, default="held")
    place = models.ForeignKey(Subject, models.PROTECT, null=True, related_name="+")
    holder = models.ForeignKey(Subject, models.PROTECT, null=True, related_name="+")
    owner = models.ForeignKey(Subject, models.PROTECT, null=True, related_name="+")
    tagged_out = models.BooleanField(default=False)
    powered_on = models.DateField(null=True)
    played_hot_on = models.DateField(null=True)
    bench_checked_on = models.DateField(null=True)
    open_faults = models.SmallIntegerField(default=0)
    told_works = models.CharField(max_length=8, blank=True)
    seen_at = models.DateTimeField(null=True)
    condition = models.CharField(max_length=16, blank=True)
    last_placed_us = models.BigIntegerField(default=-1)
    last_entry = models.BigIntegerField(default=-1)
    detail = models.JSONField(default=dict)

    objects = OfCollection.as_manager()

    class Meta:
        indexes = [
            models.Index(fields=["collection", "standing", "subject"], name="by_standing"),
            models.Index(fields=["collection", "place"], name="by_place"),
        ]

    def __str__(self) -> str:
        return f"state of {self.subject_id}"


class Branch(models.Model):
    """Root of one complete subtree of 1,024 leaves."""

    collection = models.ForeignKey(Collection, models.PROTECT, related_name="+")
    number = models.IntegerField()
    root = models.CharField(max_length=64)

    objects = OfCollection.as_manager()

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["collection", "number"], name="one_branch_a_number")
        ]

    def __str__(self) -> str:
        return f"branch {self.number}"


class Press(models.Model):
    """A press of a form that makes a row and no entry: sent twice, it makes one."""

    collection = models.ForeignKey(Collection, models.CASCADE, related_name="+")
    once = models.CharField(max_length=64)
    made = models.CharField("code of what it made", max_length=40)

    objects = OfCollection.as_manager()

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["collection", "once"], name="a_press_makes_one")
        ]

    def __str__(self) -> str:
        return f"press that made {self.made}"

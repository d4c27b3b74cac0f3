"""Tours, shows with their day sheet, the rig plan, what travels, quotes by telephone."""

from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from django.db import models

from collection.catalogue.models import Design, Piece
from collection.custody.models import Place
from collection.ledger.models import OfCollection, Subject
from registry import clock
from registry.access.models import Collection

DAY_SHEET = ("load_in", "line_check", "doors", "on_stage", "off_stage", "curfew")


class Tour(models.Model):
    """An itinerary with one rig plan; trucks and cases of the tour are where it is."""

    collection = models.ForeignKey(Collection, models.PROTECT, related_name="+")
    code = models.SlugField(max_length=40)
    name = models.CharField(max_length=80)
    starts_on = models.DateField()
    ends_on = models.DateField()
    carnet = models.BooleanField("a carnet covers it", default=False)
    places = models.ManyToManyField(Place, blank=True, related_name="tours")  # trucks, cases

    objects = OfCollection.as_manager()

    class Meta:
        ordering = ["-starts_on"]
        constraints = [
            models.UniqueConstraint(fields=["collection", "code"], name="one_tour_a_code"),
            models.CheckConstraint(
                condition=models.Q(starts_on__lte=models.F("ends_on")),
                name="a_tour_ends_after_it_starts",
            ),
        ]

    def __str__(self) -> str:
        return self.name


class Show(models.Model):
    """A show with its day sheet, local times of the venue's zone."""

    subject = models.OneToOneField(Subject, models.PROTECT, primary_key=True, related_name="show")
    collection = models.ForeignKey(Collection, models.PROTECT, related_name="+")
    code = models.CharField(max_length=40)
    tour = models.ForeignKey(Tour, models.PROTECT, related_name="shows")
    number = models.PositiveSmallIntegerField()
    venue = models.ForeignKey(Place, models.PROTECT, related_name="shows")
    on = models.DateField()
    load_in = models.TimeField(null=True, blank=True)
    line_check = models.TimeField(null=True, blank=True)
    doors = models.TimeField(null=True, blank=True)
    on_stage = models.TimeField(null=True, blank=True)
    off_stage = models.TimeField(null=True, blank=True)
    curfew = models.TimeField(null=True, blank=True)
    leg = models.CharField("leg of the tour", max_length=40, blank=True)
    fly_date = models.BooleanField("a fly date: the truck stays behind", default=False)
    mains_volts = models.PositiveSmallIntegerField(null=True, blank=True)
    mains_hz = models.PositiveSmallIntegerField(null=True, blank=True)

    objects = OfCollection.as_manager()

    class Meta:
        ordering = ["on", "number"]
        constraints = [models.UniqueConstraint(fields=["tour", "number"], name="one_show_a_number")]
        indexes = [models.Index(fields=["collection", "on"], name="shows_by_day")]

    def __str__(self) -> str:
        return f"show {self.number}, {self.venue.town or self.venue.name}"

    @property
    def zone(self) -> ZoneInfo:
        """The zone its day sheet is written in: the clocks of the venue."""
        return ZoneInfo(self.venue.nearest("zone") or self.collection.zone)

    def instant(self, name: str) -> datetime | None:
        """A time of the day sheet as an instant; one before load-in is after midnight."""
        at: time | None = getattr(self, name)
        if at is None:
            return None
        return datetime.combine(self._day_of(name, at), at, tzinfo=self.zone)

    def _day_of(self, name: str, at: time) -> date:
        earlier = DAY_SHEET[: DAY_SHEET.index(name)]
        begun = [getattr(self, one) for one in earlier if getattr(self, one) is not None]
        return self.on + timedelta(days=1) if begun and at < min(begun) else self.on

    def ended_as_text(self, *, now: datetime) -> str:
        """When it ended, as the book writes dates: the instant once it is past, else the day."""
        ended = self.instant("off_stage") or self.instant("on_stage")
        if ended is not None and ended <= now:
            return ended.isoformat()
        return min(self.on, now.astimezone(self.collection.zone_info).date()).isoformat()


class Session(models.Model):
    """Hours on that were no show: a rehearsal, a bench session, something left on."""

    class Kind(models.TextChoices):
        REHEARSAL = "rehearsal"
        BENCH = "bench", "bench session"
        LEFT_ON = "left-on", "left on"

    subject = models.OneToOneField(
        Subject, models.PROTECT, primary_key=True, related_name="session"
    )
    collection = models.ForeignKey(Collection, models.PROTECT, related_name="+")
    code = models.CharField(max_length=40)
    kind = models.CharField(max_length=10, choices=Kind)
    on = models.DateField()

    objects = OfCollection.as_manager()

    class Meta:
        ordering = ["-on", "-code"]

    def __str__(self) -> str:
        return f"{self.get_kind_display()} {self.code}"


class RigPosition(models.Model):
    """A position on stage: what plays, what stands behind it, what to do when it dies."""

    tour = models.ForeignKey(Tour, models.CASCADE, related_name="positions")
    number = models.PositiveSmallIntegerField()
    name = models.CharField(max_length=60)
    piece = models.ForeignKey(Piece, models.PROTECT, null=True, blank=True, related_name="plays_in")
    backup = models.ForeignKey(
        Piece, models.PROTECT, null=True, blank=True, related_name="stands_behind"
    )
    stands = models.CharField(
        "where the backup stands",
        max_length=8,
        default="side",
        choices=[
            ("patched", "patched and warm"),
            ("side", "side of stage"),
            ("truck", "in the truck"),
            ("town", "in town"),
            ("away", "freight away"),
        ],
    )
    fallback = models.CharField("written fallback", max_length=200, blank=True)
    fallback_steps = models.JSONField(default=list, blank=True)  # lines in the order of doing
    outage_minutes = models.PositiveSmallIntegerField("outage accepted", null=True, blank=True)
    accepted = models.JSONField(default=list, blank=True)  # codes or designs, in order
    emergency = models.JSONField(default=list, blank=True)
    never = models.JSONField(default=list, blank=True)
    songs = models.CharField(max_length=120, blank=True)
    traits = models.JSONField(default=list, blank=True)  # connectors, tuning, hand it must have
    strings_every = models.PositiveSmallIntegerField(
        "new strings every so many shows", null=True, blank=True
    )
    checks = models.JSONField("checks before doors", default=list, blank=True)  # lines

    class Meta:
        ordering = ["number"]
        constraints = [
            models.UniqueConstraint(fields=["tour", "number"], name="one_position_a_place")
        ]

    def __str__(self) -> str:
        return f"{self.number} {self.name}"


class Travelling(models.Model):
    """A piece that goes with a tour, and whether it is on the carnet's list."""

    tour = models.ForeignKey(Tour, models.CASCADE, related_name="travelling")
    piece = models.ForeignKey(Piece, models.PROTECT, related_name="travels")
    on_carnet = models.BooleanField(default=False)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["tour", "piece"], name="a_piece_travels_once")
        ]

    def __str__(self) -> str:
        return f"{self.piece} with {self.tour}"


class Died(models.Model):
    """The press during a show: when sound went, when it was back."""

    position = models.ForeignKey(RigPosition, models.CASCADE, related_name="deaths")
    show = models.ForeignKey(Show, models.PROTECT, related_name="deaths")
    at = models.DateTimeField()
    sound_back_at = models.DateTimeField(null=True, blank=True)
    entry = models.BigIntegerField()

    class Meta:
        ordering = ["-at"]

    def __str__(self) -> str:
        return f"{self.position} at {self.at:%H:%M}"


class RoadQuote(models.Model):
    """A departure and arrival that somebody quoted or confirmed by telephone."""

    class Basis(models.TextChoices):
        QUOTED = "quoted"
        CONFIRMED = "confirmed"

    collection = models.ForeignKey(Collection, models.PROTECT, related_name="+")
    piece = models.ForeignKey(Piece, models.CASCADE, null=True, blank=True, related_name="quotes")
    outside = models.ForeignKey(
        "OutsideCandidate", models.CASCADE, null=True, blank=True, related_name="quotes"
    )
    to = models.ForeignKey(Place, models.CASCADE, related_name="+")
    what = models.CharField(max_length=80)
    leaves_at = models.DateTimeField()
    arrives_at = models.DateTimeField()
    basis = models.CharField(max_length=10, choices=Basis)
    cost = models.CharField(max_length=60, blank=True)
    authorised_by = models.CharField(max_length=80, blank=True)
    told_by = models.CharField(max_length=80, blank=True)
    noted_by = models.CharField(max_length=32)
    noted_at = models.DateTimeField(default=clock.now, editable=False)

    objects = OfCollection.as_manager()

    class Meta:
        ordering = ["-pk"]
        constraints = [
            models.CheckConstraint(
                condition=models.Q(arrives_at__gt=models.F("leaves_at")),
                name="it_arrives_after_it_leaves",
            ),
            models.CheckConstraint(
                condition=models.Q(piece__isnull=True) ^ models.Q(outside__isnull=True),
                name="a_quote_is_for_one_thing",
            ),
        ]

    def __str__(self) -> str:
        return self.what


class TransitFigures(models.Model):
    """Planning figures that a collection has changed from their defaults."""

    collection = models.OneToOneField(
        Collection, models.PROTECT, primary_key=True, related_name="+"
    )
    changed = models.JSONField(default=dict)  # name of the figure → its value

    objects = OfCollection.as_manager()

    def __str__(self) -> str:
        return f"figures of {self.collection}"


class OutsideCandidate(models.Model):
    """What a hire house, promoter or local owner holds, with a telephone."""

    collection = models.ForeignKey(Collection, models.PROTECT, related_name="+")
    code = models.CharField(max_length=40)
    name = models.CharField("what it is", max_length=80)
    design = models.ForeignKey(Design, models.PROTECT, null=True, blank=True, related_name="+")
    kind = models.CharField(max_length=12)
    held_by = models.CharField(max_length=80)
    phone = models.CharField(max_length=40, blank=True)
    at = models.ForeignKey(Place, models.PROTECT, related_name="+")
    mains_volts = models.PositiveSmallIntegerField(null=True, blank=True)
    mains_hz = models.CharField(max_length=12, blank=True)
    price = models.CharField(max_length=60, blank=True)
    confirmed_on = models.DateField(null=True, blank=True)
    hired_as = models.ForeignKey(
        Piece, models.SET_NULL, null=True, blank=True, related_name="+", editable=False
    )  # what it is called here while it is hired

    objects = OfCollection.as_manager()

    class Meta:
        ordering = ["name"]

    def __str__(self) -> str:
        return f"{self.name}, {self.held_by}"

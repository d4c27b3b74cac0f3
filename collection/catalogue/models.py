"""What was drawn and what was built: makers, designs, circuits, positions, pieces, photos."""

from django.db import models
from django.db.models import Q

from collection.core.fold_text import folded
from collection.ledger.models import OfCollection, Subject
from registry import clock
from registry.access.models import Collection


class PieceKind(models.TextChoices):
    """What a piece is, coarsely; `family` says it finely ('lap steel')."""

    INSTRUMENT = "instrument"
    AMPLIFIER = "amplifier"
    CABINET = "cabinet"
    EFFECT = "effect"
    MICROPHONE = "microphone"
    OTHER = "other"


class Maker(models.Model):
    """Who drew and built things."""

    collection = models.ForeignKey(Collection, models.PROTECT, related_name="+")
    name = models.CharField(max_length=80)
    note = models.CharField(max_length=200, blank=True)

    objects = OfCollection.as_manager()

    class Meta:
        ordering = ["name"]
        constraints = [
            models.UniqueConstraint(fields=["collection", "name"], name="one_maker_a_name")
        ]

    def __str__(self) -> str:
        return self.name


class Design(models.Model):
    """What a maker drew: kind, family, name and its span of production."""

    collection = models.ForeignKey(Collection, models.PROTECT, related_name="+")
    maker = models.ForeignKey(Maker, models.PROTECT, null=True, blank=True, related_name="designs")
    kind = models.CharField(max_length=12, choices=PieceKind)
    family = models.CharField(max_length=40, blank=True)
    name = models.CharField(max_length=80)
    produced = models.CharField("span of production", max_length=64, blank=True)
    panel = models.JSONField("panel controls", default=list, blank=True)
    warm_up_minutes = models.PositiveSmallIntegerField(default=2)
    check_minutes = models.PositiveSmallIntegerField(default=5)

    objects = OfCollection.as_manager()

    class Meta:
        ordering = ["name"]
        constraints = [
            models.UniqueConstraint(
                fields=["collection", "maker", "name"], name="one_design_a_maker_and_name"
            )
        ]

    def __str__(self) -> str:
        return self.name


class Circuit(models.Model):
    """A schematic and its revision; for instruments the wiring."""

    class Bias(models.TextChoices):
        FIXED = "fixed"
        OWN = "own", "individually adjustable"
        CATHODE = "cathode"
        NONE = "none"

    collection = models.ForeignKey(Collection, models.PROTECT, related_name="+")
    design = models.ForeignKey(
        Design, models.PROTECT, null=True, blank=True, related_name="circuits"
    )
    name = models.CharField(max_length=40)
    bias = models.CharField(max_length=8, choices=Bias, default=Bias.NONE)
    mains_volts = models.PositiveSmallIntegerField(null=True, blank=True)
    mains_hz = models.PositiveSmallIntegerField(null=True, blank=True)
    load_ohms = models.DecimalField(max_digits=5, decimal_places=1, null=True, blank=True)
    plate_volts = models.PositiveSmallIntegerField(null=True, blank=True)
    note = models.CharField(max_length=200, blank=True)
    close_to = models.ManyToManyField("self", blank=True)  # declared close: may stand in

    objects = OfCollection.as_manager()

    class Meta:
        ordering = ["name"]
        constraints = [
            models.UniqueConstraint(fields=["collection", "name"], name="one_circuit_a_name")
        ]

    def __str__(self) -> str:
        return self.name


class Position(models.Model):
    """A named place for a part in a circuit: V1…V8, rectifier, loudspeaker left, tape loop."""

    circuit = models.ForeignKey(Circuit, models.CASCADE, related_name="positions")
    order = models.PositiveSmallIntegerField()
    name = models.CharField(max_length=24)
    does = models.CharField(max_length=40, blank=True)
    fits = models.JSONField(default=list)  # codes of part types, best first
    grade = models.CharField(max_length=16, blank=True)  # grade needed, e.g. V1-quiet
    matched_with = models.CharField(max_length=24, blank=True)  # name of its set, e.g. output

    class Meta:
        ordering = ["order"]
        constraints = [
            models.UniqueConstraint(fields=["circuit", "name"], name="one_position_a_name")
        ]

    def __str__(self) -> str:
        return self.name


class Piece(models.Model):
    """One physical thing with a permanent code; never its case."""

    subject = models.OneToOneField(Subject, models.PROTECT, primary_key=True, related_name="piece")
    collection = models.ForeignKey(Collection, models.PROTECT, related_name="+")
    code = models.CharField(max_length=40)
    kind = models.CharField(max_length=12, choices=PieceKind)
    family = models.CharField(max_length=40, blank=True)
    maker = models.ForeignKey(Maker, models.PROTECT, null=True, blank=True, related_name="pieces")
    design = models.ForeignKey(Design, models.PROTECT, null=True, blank=True, related_name="pieces")
    circuit = models.ForeignKey(
        Circuit, models.PROTECT, null=True, blank=True, related_name="pieces"
    )
    name = models.CharField("what it is called", max_length=80, blank=True)
    nickname = models.CharField(max_length=60, blank=True)
    year = models.CharField("built", max_length=64, blank=True)  # EDTF
    built_from = models.DateField(null=True, blank=True)
    built_to = models.DateField(null=True, blank=True)
    serial = models.CharField(max_length=60, blank=True)
    hidden_mark = models.CharField(max_length=120, blank=True)
    marks = models.JSONField("marks for identity", default=list, blank=True)
    finish = models.CharField(max_length=80, blank=True)
    mass_grams = models.PositiveIntegerField(null=True, blank=True)
    size = models.CharField(max_length=60, blank=True)
    load_ohms = models.DecimalField(max_digits=5, decimal_places=1, null=True, blank=True)
    connectors = models.CharField(max_length=120, blank=True)
    mains_volts = models.PositiveSmallIntegerField(null=True, blank=True)
    mains_hz = models.CharField(max_length=12, blank=True)  # '50', '50/60'
    materials = models.CharField(max_length=200, blank=True)
    made_in = models.CharField("country of manufacture", max_length=2, blank=True)
    goes_with = models.CharField("what goes with it", max_length=200, blank=True)
    tuning = models.CharField(max_length=40, blank=True)
    handed = models.CharField(max_length=5, blank=True)
    usual_place = models.ForeignKey(
        Subject, models.PROTECT, null=True, blank=True, related_name="+"
    )
    twin = models.ForeignKey("self", models.SET_NULL, null=True, blank=True, related_name="+")
    value_minor = models.BigIntegerField(null=True, blank=True)
    value_currency = models.CharField(max_length=3, blank=True)
    notes = models.TextField(blank=True)
    search = models.TextField(editable=False, default="")
    imported_as = models.CharField(max_length=64, blank=True, editable=False)

    objects = OfCollection.as_manager()

    class Meta:
        ordering = ["code"]
        constraints = [
            models.UniqueConstraint(fields=["collection", "code"], name="one_piece_a_code"),
            models.CheckConstraint(
                condition=Q(built_from__isnull=True)
                | Q(built_to__isnull=True)
                | Q(built_from__lte=models.F("built_to")),
                name="a_piece_is_not_built_before_itself",
            ),
        ]
        indexes = [
            models.Index(fields=["collection", "kind", "code"], name="pieces_by_kind"),
            models.Index(fields=["collection", "circuit"], name="pieces_by_circuit"),
            models.Index(fields=["collection", "built_from"], name="pieces_by_year"),
        ]

    def __str__(self) -> str:
        return f"{self.code} {self.called}"

    @property
    def called(self) -> str:
        """The name said on the radio: design or name, else the family or kind."""
        return self.name or (self.design.name if self.design else "") or self.family or self.kind

    def search_text(self) -> str:
        """What the search box looks through, folded like the query."""
        said = (self.code, self.name, self.nickname, self.serial, self.family, self.finish)
        drawn = (str(self.maker or ""), str(self.design or ""), str(self.circuit or ""))
        return folded(" ".join(filter(None, (*said, *drawn))))


class Photo(models.Model):
    """A photo whose original bytes are kept untouched under their SHA-256."""

    class View(models.TextChoices):
        FRONT = "front"
        BACK = "back"
        SERIAL = "serial"
        GRAIN = "grain"
        SCAR = "scar"
        CHASSIS = "chassis"
        OTHER = "other"

    collection = models.ForeignKey(Collection, models.PROTECT, related_name="+")
    subject = models.ForeignKey(Subject, models.PROTECT, related_name="photos")
    sha256 = models.CharField(max_length=64)
    format = models.CharField(max_length=8)
    width = models.PositiveIntegerField()
    height = models.PositiveIntegerField()
    byte_count = models.PositiveIntegerField()
    view = models.CharField(max_length=8, choices=View, default=View.OTHER)
    caption = models.CharField(max_length=120, blank=True)
    camera_says = models.CharField(max_length=60, blank=True)
    shows_mark = models.BooleanField(default=False)  # shows a mark held back from notices
    entry = models.BigIntegerField(null=True)  # number of the entry it is evidence for
    taken_out_at = models.DateTimeField(null=True, editable=False)  # bytes gone, SHA-256 stays
    taken_out_in = models.BigIntegerField(null=True, editable=False)  # the entry that says why
    added_at = models.DateTimeField(default=clock.now, editable=False)
    added_by = models.CharField(max_length=32)

    objects = OfCollection.as_manager()

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.UniqueConstraint(fields=["subject", "sha256"], name="one_photo_once_a_subject")
        ]
        indexes = [models.Index(fields=["collection", "entry"], name="photos_of_an_entry")]

    def __str__(self) -> str:
        return f"{self.get_view_display()} of {self.subject}"


class ImportRun(models.Model):
    """One spreadsheet brought in: the file, how its columns were read, what was not taken."""

    class Status(models.TextChoices):
        PREVIEW = "preview"
        DONE = "done"

    collection = models.ForeignKey(Collection, models.PROTECT, related_name="+")
    file_name = models.CharField(max_length=120)
    sha256 = models.CharField(max_length=64)
    data = models.BinaryField()
    mapping = models.JSONField(default=dict)
    status = models.CharField(max_length=8, choices=Status, default=Status.PREVIEW)
    result = models.JSONField(default=dict)
    added_by = models.CharField(max_length=32)
    added_at = models.DateTimeField(default=clock.now, editable=False)

    objects = OfCollection.as_manager()

    class Meta:
        ordering = ["-pk"]

    def __str__(self) -> str:
        return self.file_name

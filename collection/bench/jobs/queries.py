"""Reading jobs: what is away, how long, and how far each has come."""

import secrets
from dataclasses import dataclass, field
from datetime import date

from django.db.models import Case, Exists, OuterRef, Prefetch, Q, QuerySet, When

from collection.bench.jobs.models import Job
from collection.bench.models import Fault
from collection.catalogue import queries as catalogue
from collection.catalogue.models import Photo, Piece
from collection.core.repair_job import AWAY, ORDERS, STAGES
from collection.core.state import OPEN_CONDITIONS, State, from_json
from collection.core.wording import money
from collection.custody.models import Party, Place
from collection.ledger.lines import Line
from collection.ledger.models import Event
from collection.ledger.queries import life_line
from registry.access.models import Collection, Membership, ShareLink
from registry.access.sharing import shares_of

STAGE_OF = {
    "sent_to_repair": "sent",
    "booked_in": "booked-in",
    "diagnosed": "diagnosed",
    "quoted": "quoted",
    "approved": "approved",
    "repaired": "done",
    "back_from_repair": "back",
}
BACK_SHOWN = 20


def jobs(collection: Collection) -> QuerySet[Job]:
    """Jobs with repairer, place, state and pieces; 2 queries."""
    pieces = catalogue.pieces(collection).select_related("subject__state", "design")
    rows = Job.objects.of(collection).select_related(
        "repairer", "at", "subject__state", "collection"
    )
    return rows.prefetch_related(Prefetch("pieces", pieces))


@dataclass(frozen=True)
class JobLine:
    """A job on the list, as it stands on a day."""

    job: Job
    state: State
    today: date

    @property
    def away(self) -> bool:
        """Whether a piece of it is still at the repairer."""
        return self.state.count(AWAY) > 0

    @property
    def stage(self) -> str:
        """How far it has come, in words."""
        return STAGES.get(self.state.condition, "not sent")

    @property
    def days_away(self) -> int:
        """Days since it was sent."""
        return max((self.today - self.job.sent_on).days, 0)

    @property
    def overdue_days(self) -> int:
        """Days past the day it was promised for; 0 when none was, or it is back."""
        if not self.away or self.job.due_on is None:
            return 0
        return max((self.today - self.job.due_on).days, 0)


def line_of(job: Job, *, today: date) -> JobLine:
    """A job as it stands on a day."""
    row = getattr(job.subject, "state", None)
    return JobLine(job, from_json(row.detail) if row else State(), today)


def all_jobs(collection: Collection, *, today: date) -> tuple[list[JobLine], list[JobLine]]:
    """Jobs still away, the longest away first, and those that are back, the newest first."""
    lines = [line_of(job, today=today) for job in jobs(collection)]
    away = sorted((one for one in lines if one.away), key=lambda one: one.job.sent_on)
    return away, [one for one in lines if not one.away][:BACK_SHOWN]


@dataclass(frozen=True)
class Said:
    """What the book says of a stage, with the repairer's name for their code, and its photos."""

    line: Line
    sentence: str
    photos: tuple[Photo, ...]


@dataclass(frozen=True)
class Step:
    """One stage of a job and what was said of it, oldest first; `next`: the usual one to come."""

    key: str
    words: str
    said: list[Said]
    next: bool = False


@dataclass(frozen=True)
class JobPage:
    """All that the page of a job says; `once` for its presses."""

    line: JobLine
    steps: list[Step]
    proofs: list[tuple[Piece, date | None]]
    shares: QuerySet[ShareLink]
    other: list[Line]
    once: str = field(default_factory=lambda: secrets.token_hex(16))

    @property
    def job(self) -> Job:
        """The job's row."""
        return self.line.job

    @property
    def orders(self) -> list[str]:
        """The standing orders, as sentences."""
        return orders_of(self.job)

    @property
    def limit(self) -> str:
        """What may be spent without a call; '' when nobody has set it."""
        return limit_of(self.job)

    @property
    def proven(self) -> bool:
        """Whether every piece that came back has been played hot since."""
        return not self.line.away and all(on is not None for _, on in self.proofs)


def orders_of(job: Job) -> list[str]:
    """The standing orders of a job, as sentences."""
    return [ORDERS.get(key, key) for key in job.orders] + list(filter(None, [job.order_words]))


def limit_of(job: Job) -> str:
    """The approved limit in words; '' when there is none."""
    return money(job.limit_minor, job.currency) if job.limit_minor is not None else ""


def page_of(job: Job, *, today: date, member: Membership) -> JobPage:
    """The page of a job; a fixed number of queries."""
    lines = life_line(job.subject, limit=100)
    line = line_of(job, today=today)
    return JobPage(
        line=line,
        steps=_steps(job, lines, _photos(job, member, lines)),
        proofs=[(piece, _hot_since(piece, lines)) for piece in job.pieces.all()],
        shares=shares_of(job.collection, purpose=ShareLink.Purpose.JOB, code=job.code),
        other=[one for one in lines if one.event.kind not in STAGE_OF],
    )


def _steps(job: Job, lines: list[Line], photos: dict[int, tuple[Photo, ...]]) -> list[Step]:
    by_stage: dict[str, list[Said]] = {key: [] for key in STAGES}
    for line in reversed(lines):
        if stage := STAGE_OF.get(line.event.kind):
            sentence = line.sentence.replace(job.repairer.code, job.repairer.name)
            by_stage[stage].append(Said(line, sentence, photos.get(line.event.sequence, ())))
    order = list(STAGES)
    furthest = max((order.index(key) for key in order if by_stage[key]), default=-1)
    following = order[furthest + 1] if furthest + 1 < len(order) else ""
    return [Step(key, words, by_stage[key], key == following) for key, words in STAGES.items()]


def _hot_since(piece: Piece, lines: list[Line]) -> date | None:
    """The day it was first known to play hot after it came back, None while nobody tried."""
    state = state_of(piece)
    back = next(
        (one.day for one in lines
         if one.event.kind == "back_from_repair" and one.event.subject_id == piece.pk),
        "",
    )  # fmt: skip
    hot = state.latest("played-hot")
    return hot if back and hot and hot.isoformat() >= back else None


def _photos(job: Job, member: Membership, lines: list[Line]) -> dict[int, tuple[Photo, ...]]:
    numbers = [one.event.sequence for one in lines]
    found: dict[int, tuple[Photo, ...]] = {}
    for photo in catalogue.photos(job.collection, member).filter(entry__in=numbers):
        found[photo.entry] = (*found.get(photo.entry, ()), photo)
    return found


def state_of(piece: Piece) -> State:
    """What the book says of a piece now."""
    row = getattr(piece.subject, "state", None)
    return from_json(row.detail) if row else State()


REPAIRS = ("repair", "bench", "winder", "transformers", "luthier", "workshop")


def parties(collection: Collection) -> QuerySet[Party]:
    """Whom a piece can be sent to: who has had a job or repairs by trade first, then by name."""
    trade = Q()
    for word in REPAIRS:
        trade |= Q(does__icontains=word) | Q(name__icontains=word)
    had = Exists(Job.objects.filter(repairer=OuterRef("pk")))
    first = Case(When(had | trade, then=0), default=1)
    return Party.objects.of(collection).order_by(first, "name")


def places(collection: Collection) -> QuerySet[Place]:
    """Where a piece can be: workshops first, then by name; what is on the way is no place."""
    rows = Place.objects.of(collection).exclude(kind=Place.Kind.ON_THE_WAY)
    return rows.order_by(Case(When(kind=Place.Kind.WORKSHOP, then=0), default=1), "name")


def faults(job: Job) -> QuerySet[Fault]:
    """Open faults of the pieces of a job."""
    return Fault.objects.filter(
        piece__in=job.pieces.all(), subject__state__condition__in=OPEN_CONDITIONS
    ).select_related("piece")


def pieces(collection: Collection) -> QuerySet[Piece]:
    """Pieces by code."""
    return catalogue.pieces(collection).select_related("design")


def written_by_guest(job: Job, code: str) -> list[Event]:
    """What was written by the job's links, the newest first; nothing else of the book."""
    rows = Event.objects.of(job.collection).filter(recorded_by=code, kind="diagnosed")
    return list(rows.select_related("subject").order_by("-sequence")[:30])

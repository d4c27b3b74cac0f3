"""Reading the file of a theft: its tasks with their state, and the shops."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime

from django.db.models import QuerySet

from collection.core.theft_tasks import overdue
from collection.custody.models import Incident
from collection.papers.theft.actions import STEP_OF
from collection.papers.theft.models import Shop, TheftTask
from registry.access.models import Collection


@dataclass(frozen=True)
class Line:
    """A task with whether it is late; `ticked`: its step was ticked without a paper."""

    task: TheftTask
    late: bool
    ticked: bool
    by: str = ""


@dataclass(frozen=True)
class Tasks:
    """The tasks of an incident: those there and then, the shops, how many are late or done."""

    first: tuple[Line, ...]
    shops: tuple[Line, ...]

    @property
    def every(self) -> tuple[Line, ...]:
        """All of them."""
        return (*self.first, *self.shops)

    @property
    def late(self) -> int:
        """How many are overdue."""
        return sum(1 for line in self.every if line.late)

    @property
    def done(self) -> int:
        """How many are done."""
        return sum(1 for line in self.every if line.task.done_at)


def tasks(collection: Collection) -> QuerySet[TheftTask]:
    """Every task, with what its line says."""
    rows = TheftTask.objects.of(collection).defer("paper__data")
    return rows.select_related("party", "paper", "incident", "collection", "incident__subject")


def tasks_of(incident: Incident, names: Mapping[str, str], *, now: datetime) -> Tasks:
    """The tasks of an incident, the soonest first, shops in order of distance; 1 query."""
    lines = [
        line_of(task, names, now=now)
        for task in tasks(incident.collection).filter(incident=incident)
    ]
    first = [line for line in lines if line.task.key != "shop"]
    first.sort(key=lambda line: (line.task.due_at is not None, line.task.due_at or now))
    return Tasks(tuple(first), tuple(line for line in lines if line.task.key == "shop"))


def line_of(task: TheftTask, names: Mapping[str, str], *, now: datetime) -> Line:
    """A task with its state."""
    step = STEP_OF.get(task.key, "")
    ticked = task.done_at is None and step in task.incident.steps
    late = overdue(task.due_at, done=bool(task.done_at) or ticked, now=now)
    return Line(task, late, ticked, names.get(task.done_by, task.done_by))


def late_tasks(collection: Collection, *, now: datetime) -> list[TheftTask]:
    """Tasks whose moment has passed undone, over all incidents; 1 query."""
    open_ones = tasks(collection).filter(done_at=None, due_at__lt=now).order_by("due_at")
    return [task for task in open_ones if line_of(task, {}, now=now).late]


def every_shop(collection: Collection) -> QuerySet[Shop]:
    """Dealers, auction houses, pawnshops and repairers, by town."""
    return Shop.objects.of(collection).select_related("party").order_by("town", "party__name")

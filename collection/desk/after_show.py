"""What comes once the show is over: log it, count the load-out, the next one."""

from dataclasses import dataclass
from datetime import datetime

from collection.road.doors.models import DoorCount
from collection.road.models import Show


@dataclass(frozen=True)
class AfterShow:
    """Whether the show is logged, and the counts of its load-out, the newest first."""

    logged: bool
    counts: tuple[DoorCount, ...] = ()

    @property
    def counted(self) -> bool:
        """Whether the trucks that anybody began to count are closed."""
        return bool(self.counts) and all(one.closed_at for one in self.counts)


def after_show(show: Show, *, now: datetime) -> AfterShow | None:
    """What is left to do of a show that is over, None before; one query after."""
    logged = is_logged(show)
    ended = show.instant("off_stage")
    if not logged and (ended is None or ended > now):
        return None
    counts = DoorCount.objects.filter(show=show).select_related("truck")
    return AfterShow(logged, tuple(counts))


def is_logged(show: Show) -> bool:
    """Whether somebody has written how it was played."""
    state = getattr(show.subject, "state", None)
    return bool(state and state.condition == "played")

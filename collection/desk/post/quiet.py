"""Hours in which nothing is mailed: on the day of a show, until its doors have opened."""

from datetime import datetime, time, timedelta

from collection.road.models import Show
from registry.access.models import Collection

LATEST = time(20, 0)  # doors of a show without a day sheet (house rule)


def before_doors(collection: Collection, now: datetime) -> bool:
    """Whether a show is today and its doors are still shut; 1 query."""
    near = (now.date() - timedelta(days=1), now.date() + timedelta(days=1))
    shows = Show.objects.of(collection).filter(on__range=near).select_related("venue", "collection")
    return any(_shut(show, now) for show in shows)


def _shut(show: Show, now: datetime) -> bool:
    local = now.astimezone(show.zone)
    opens = show.instant("doors") or show.instant("on_stage")
    if opens is None:
        opens = datetime.combine(show.on, LATEST, tzinfo=show.zone)
    return local.date() == show.on and local < opens

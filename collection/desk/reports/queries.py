"""Reports of a tour, and letters that went out with one."""

from dataclasses import dataclass

from django.db.models import Count, QuerySet

from collection.desk.post.models import Letter
from collection.desk.reports.actions import key_of
from collection.ledger.models import Event
from collection.ledger.queries import superseded
from collection.road.models import Show, Tour


@dataclass(frozen=True)
class ReportLine:
    """A show on the list of reports."""

    show: Show
    played: Event | None
    deaths: int

    @property
    def troubled(self) -> int:
        """How many pieces did not sound as they should."""
        return len(self.played.facts.get("troubled", ())) if self.played else 0


def reports(tour: Tour) -> list[ReportLine]:
    """Every show of a tour with what its report says in short; two queries."""
    rows = Show.objects.filter(tour=tour).select_related("venue", "collection")
    shows = list(rows.annotate(died=Count("deaths")).order_by("on", "number"))
    found = Event.objects.filter(~superseded(), kind="played", subject__in=[s.pk for s in shows])
    played = {event.subject_id: event for event in found}
    return [ReportLine(show, played.get(show.pk), show.died) for show in shows]


def letters_of(show: Show) -> QuerySet[Letter]:
    """Letters with the report of a show, newest first."""
    found = Letter.objects.of(show.collection).filter(key__startswith=key_of(show))
    return found.select_related("party").order_by("-made_at", "-pk")

"""What addresses of the road can name, for `tests/samples.py`."""

from django.utils import timezone

from collection.bench.models import Fault
from collection.core.events.faulted import Faulted
from collection.ledger.actions import open_book
from collection.road.actions import it_died
from collection.road.models import RigPosition, Show
from registry.access.models import Membership
from tests.road.builders import a_road


def a_tour(keeper: Membership, mark: str) -> str:
    """A tour with a show today; the samples after it find theirs in it."""
    today = timezone.localdate(timezone=keeper.collection.zone_info)
    return a_road(keeper, on=today, mark=f"-{mark.upper()}").tour.code


def a_show(keeper: Membership, mark: str) -> str:
    return Show.objects.of(keeper.collection).get().code


def a_stand_in(keeper: Membership, mark: str) -> str:
    return RigPosition.objects.get(tour__collection=keeper.collection).backup.code


def a_death(keeper: Membership, mark: str) -> str:
    show = Show.objects.of(keeper.collection).get()
    position = RigPosition.objects.get(tour=show.tour)
    died = it_died(collection=keeper.collection, by=keeper, show=show, position=position)
    return str(died.pk)


def a_fault(keeper: Membership, mark: str) -> str:
    """A fault under a code of its own: the next free one is the same in every collection."""
    piece = RigPosition.objects.get(tour__collection=keeper.collection).backup
    with open_book(keeper.collection, keeper) as book:
        subject = book.new_subject("fault", f"F-{mark.upper()}")
        row = Fault.objects.create(
            subject=subject, collection=keeper.collection, code=subject.code, piece=piece,
            symptom="hums",
        )  # fmt: skip
        book.append(Faulted(fault=row.code, symptom=row.symptom), piece.code)
    return row.code

"""What addresses of the road can name, for `tests/samples.py`."""

from datetime import timedelta

from django.utils import timezone

from collection.bench.models import Fault
from collection.core.events.faulted import Faulted
from collection.ledger.actions import open_book
from collection.road.actions import add_outside_candidate, it_died
from collection.road.doors.actions import start
from collection.road.doors.queries import counts
from collection.road.models import RigPosition, Show
from collection.road.songs.actions import add_song
from collection.road.wanted.actions import want
from registry.access.models import Membership
from registry.access.sharing import share
from tests.road.builders import BERGEN, a_place, a_road


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


def a_song(keeper: Membership, mark: str) -> str:
    return add_song(collection=keeper.collection, title=f"Low Water {mark}").code


def a_wanted(keeper: Membership, mark: str) -> str:
    today = timezone.localdate(timezone=keeper.collection.zone_info)
    facts = {"what": "EF86", "why": "few left", "since": today, "code": f"WANT-{mark.upper()}"}
    return want(collection=keeper.collection, by=keeper, **facts).code


def something_outside(keeper: Membership, mark: str) -> str:
    shop = a_place(keeper, f"Hire house {mark}", **BERGEN)
    held = {"name": "combo", "kind": "amplifier", "at": shop, "held_by": "hire house"}
    code = f"OUT-{mark.upper()}"
    return add_outside_candidate(collection=keeper.collection, code=code, **held).code


def a_door_count(keeper: Membership, mark: str) -> str:
    """A count of the sample's show: every collection numbers its own."""
    show = Show.objects.of(keeper.collection).get()
    truck = show.tour.places.get()
    return str(start(show=show, truck=truck, by=keeper, now=timezone.now()).number)


def _a_link(keeper: Membership, mark: str):
    """A link past the limit of three: every address of a link has one of its own."""
    a_door_count(keeper, mark)
    count, now = counts(keeper.collection).get(), timezone.now()
    return share(
        keeper.collection, purpose="doors", code=count.code, label=f"hands {mark}", by=keeper,
        now=now, expires_at=now + timedelta(hours=9),
    )  # fmt: skip


def a_door_share(keeper: Membership, mark: str) -> str:
    return str(_a_link(keeper, mark)[0].pk)


def a_door_token(keeper: Membership, mark: str) -> str:
    return _a_link(keeper, mark)[1]

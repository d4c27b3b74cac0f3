"""A small register for the front pages, written through the actions that pages call."""

from datetime import timedelta

from django.utils import timezone

from collection.bench import actions as bench
from collection.catalogue import actions as catalogue
from collection.catalogue.models import Piece
from collection.custody import actions as custody
from collection.custody.models import Place
from collection.ledger.telling import Telling
from registry.access.models import Membership


def days_ago(days: int, **how: str) -> Telling:
    """Something that happened that many days before today."""
    day = timezone.localdate() - timedelta(days=days)
    return Telling(happened=day.isoformat(), **how)


def a_piece(by: Membership, code: str = "A-001", kind: str = "amplifier", **described) -> Piece:
    return catalogue.add_piece(collection=by.collection, by=by, code=code, kind=kind, **described)


def a_place(by: Membership, name: str, kind: str = "site", **known) -> Place:
    return custody.add_place(collection=by.collection, by=by, name=name, kind=kind, **known)


def put(by: Membership, code: str, place: Place, **how) -> None:
    custody.move(collection=by.collection, by=by, code=code, to=place.code, **how)


def proved(by: Membership, code: str, level: str = "played-hot", days: int = 3) -> None:
    bench.inspect(collection=by.collection, by=by, code=code, level=level, telling=days_ago(days))


def hung(by: Membership, code: str, reason: str = "Water in the chassis", **how) -> None:
    bench.tag_out(collection=by.collection, by=by, code=code, reason=reason, **how)


def stolen(by: Membership, *codes: str) -> str:
    incident = custody.report_theft(collection=by.collection, by=by, pieces=codes)
    return incident.code

"""Production's page: weights, sizes, mains, connectors, the truck pack, money asked."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from django.db.models import Q

from collection.bench.jobs.models import Job
from collection.catalogue.models import Piece
from collection.core.wording import money
from collection.custody.models import Place
from collection.ledger.models import Event, State
from collection.ledger.queries import superseded
from collection.road.mains.queries import fed
from collection.road.models import RoadQuote, Tour
from collection.road.queries import travelling
from registry.access.models import Collection

# House rule, from common lifting guidance of about 25 kg close to the body.
TWO_PEOPLE_GRAMS = 25_000


@dataclass(frozen=True)
class Carried:
    """A piece that travels, with what production asks of it."""

    piece: Piece
    on_carnet: bool

    @property
    def kg(self) -> str:
        """Its mass in kilograms, '' when nobody has weighed it."""
        return f"{self.piece.mass_grams / 1000:g}" if self.piece.mass_grams else ""

    @property
    def two_people(self) -> bool:
        """Whether it takes two to lift."""
        return (self.piece.mass_grams or 0) > TWO_PEOPLE_GRAMS

    @property
    def mains(self) -> str:
        """Volts and hertz it asks for; '' for what takes no mains, as far as is known."""
        asked = fed(self.piece)
        said = [f"{asked.volts:g} V" if asked.volts else "", f"{asked.hertz:g} Hz"
                if asked.hertz else ""]  # fmt: skip
        return ", ".join(filter(None, said))


@dataclass(frozen=True)
class Box:
    """A case or truck and what is in it directly."""

    place: Place | None
    carried: tuple[Carried, ...]

    @property
    def known_kg(self) -> str:
        """What is weighed of its contents, without the case itself."""
        grams = sum(one.piece.mass_grams or 0 for one in self.carried)
        return f"{grams / 1000:g}" if grams else ""

    @property
    def unweighed(self) -> int:
        return sum(1 for one in self.carried if one.piece.mass_grams is None)


@dataclass(frozen=True)
class Asked:
    """Money somebody asked for: what for, how much, who said so, when."""

    what: str
    how_much: str
    who: str
    at: datetime
    settled: str = ""  # who authorised it


@dataclass(frozen=True)
class Production:
    """Everything production's page says."""

    boxes: tuple[Box, ...]
    asked: tuple[Asked, ...]

    @property
    def carried(self) -> list[Carried]:
        return sorted((one for box in self.boxes for one in box.carried), key=_code)

    @property
    def known_kg(self) -> str:
        """What is weighed of everything that travels."""
        grams = sum(one.piece.mass_grams or 0 for one in self.carried)
        return f"{grams / 1000:g}" if grams else "0"

    @property
    def unweighed(self) -> int:
        return sum(box.unweighed for box in self.boxes)


def production(collection: Collection, tour: Tour) -> Production:
    """A tour as production reads it; five queries whatever the size."""
    rows = travelling(tour).select_related(
        "piece__circuit", "piece__subject__state__place__place_row"
    )
    return Production(tuple(_boxes(rows, tour)), tuple(_asked(collection, tour)))


def _boxes(rows: Iterable, tour: Tour) -> Iterable[Box]:
    along = {place.pk for place in tour.places.all()}
    found: dict[int | None, list[Carried]] = {}
    named: dict[int | None, Place | None] = {None: None}
    for row in rows:
        state: State | None = getattr(row.piece.subject, "state", None)
        inside = state.place_id if state and state.place_id in along else None
        named[inside] = state.place.place_row if inside else None
        found.setdefault(inside, []).append(Carried(row.piece, row.on_carnet))
    order = sorted(found, key=lambda pk: (named[pk] is None, named[pk].name if named[pk] else ""))
    for pk in order:
        yield Box(named[pk], tuple(found[pk]))


def _asked(collection: Collection, tour: Tour) -> Iterable[Asked]:
    quotes = RoadQuote.objects.of(collection).filter(~Q(cost=""), to__shows__tour=tour).distinct()
    for quote in quotes.select_related("piece", "outside", "to"):
        of = quote.piece or quote.outside
        yield Asked(f"{of.code} to {quote.to}, {quote.what}", quote.cost, quote.told_by,
                    quote.noted_at, quote.authorised_by)  # fmt: skip
    travels = tour.travelling.values("piece")
    jobs = Job.objects.of(collection).filter(pieces__in=travels, sent_on__gte=tour.starts_on)
    codes = dict(jobs.distinct().values_list("pk", "code"))
    for event in Event.objects.of(collection).filter(
        ~superseded(), kind="quoted", subject__in=list(codes)
    ):
        how_much = money(int(event.facts["amount_minor"]), event.facts["currency"])
        covers = event.facts.get("covers") or "repair"
        yield Asked(f"{codes[event.subject_id]}, {covers}", how_much, event.source_note,
                    event.recorded_at)  # fmt: skip


def _code(one: Carried) -> str:
    return one.piece.code

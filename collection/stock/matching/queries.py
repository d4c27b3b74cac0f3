"""Reading loose tubes: slips by the conditions they were taken under, mates, sets to judge."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal

from django.http import Http404

from collection.catalogue.models import Position
from collection.core.events import facts_of
from collection.core.events.parted import APART
from collection.core.events.slip_noted import SlipNoted
from collection.core.state import State, from_json
from collection.ledger.models import Event
from collection.ledger.queries import superseded
from collection.stock.matching.models import MatchRule
from collection.stock.models import Lot, Part
from registry.access.models import Collection

PERCENT = Decimal(100)


@dataclass(frozen=True)
class Loose:
    """A tube with a code that sits in no piece and in no set, and its newest slip."""

    part: Part
    state: State
    slip: SlipNoted | None = None
    entry: int | None = None
    when: str = ""

    @property
    def bucket(self) -> str:
        """Where its lot counts it."""
        return self.state.grade or ""

    @property
    def grade(self) -> str:
        """What it is good for."""
        return self.bucket.partition(":")[2]

    @property
    def mate(self) -> bool:
        """Whether it is what lives on of a set."""
        return self.bucket.startswith("pulled:")

    @property
    def read(self) -> tuple[str, str] | None:
        """mA and µmho when it has one section with both; None: it cannot be matched by them."""
        rows = self.slip.sections if self.slip else ()
        if len(rows) != 1 or not (rows[0][1] and rows[0][2]):
            return None
        return rows[0][1], rows[0][2]


@dataclass(frozen=True)
class Group:
    """Loose tubes of one lot and grade whose slips were taken alike: only they compare."""

    lot: Lot
    grade: str
    conditions: str
    tubes: tuple[Loose, ...]

    @property
    def key(self) -> str:
        """The code it is called by in an address: its first tube's."""
        return self.tubes[0].part.code

    @property
    def matchable(self) -> tuple[Loose, ...]:
        """Those with one current and one gm."""
        return tuple(tube for tube in self.tubes if tube.read)


def rule_of(collection: Collection) -> MatchRule:
    """The tolerances of a collection; the defaults, unsaved, while nobody has chosen."""
    found = MatchRule.objects.of(collection).first()
    return found or MatchRule(collection=collection)


def loose_tubes(collection: Collection) -> list[Loose]:
    """Every single tube with a code that is in no piece and no set, by code; 2 queries."""
    rows = Part.objects.of(collection).filter(units=1, lot__isnull=False, lot__in_sets=False)
    parts = rows.select_related("type", "lot__type", "subject__state")
    held = [(part, state_of(part)) for part in parts]
    free = [(part, state) for part, state in held if _free(state)]
    slips = _slips(collection, [part for part, _ in free])
    return [Loose(part, state, *slips.get(part.subject_id, ())) for part, state in free]


def groups(loose: Iterable[Loose]) -> list[Group]:
    """Loose tubes with a slip, by lot, grade and conditions; the largest group first."""
    found: dict[tuple[str, str, str], list[Loose]] = {}
    for tube in loose:
        if tube.slip:
            key = (tube.part.lot.code, tube.grade, _alike(tube.slip))
            found.setdefault(key, []).append(tube)
    made = [
        Group(tubes[0].part.lot, key[1], tubes[0].slip.conditions, tuple(tubes))
        for key, tubes in found.items()
    ]
    return sorted(made, key=lambda group: (group.lot.type.code, -len(group.tubes), group.key))


def group_named(collection: Collection, tube: str) -> Group:
    """The group that a tube is in; raises Http404."""
    for group in groups(loose_tubes(collection)):
        if any(one.part.code == tube for one in group.tubes):
            return group
    raise Http404("No loose tube with a slip has this code.")


def sets_to_judge(collection: Collection) -> list[Part]:
    """Sets that died in use and of whose mates nobody has said yet whether they live."""
    rows = Part.objects.of(collection).filter(units__gte=2, lot__in_sets=False)
    parts = rows.select_related("type", "lot", "subject__state").order_by("-code")
    return [part for part in parts if state_of(part).grade == "dead"]


def set_named(collection: Collection, code: str) -> Part:
    """A set of a lot that counts single tubes; raises Http404."""
    rows = Part.objects.of(collection).filter(code=code, units__gte=2, lot__in_sets=False)
    part = rows.select_related("type", "lot", "subject__state").first()
    if part is None:
        raise Http404("There is no set of loose tubes with this code.")
    return part


def lots_of_singles(collection: Collection) -> list[Lot]:
    """Lots that count single tubes of a type used in sets: theirs are matched."""
    rows = Lot.objects.of(collection).filter(in_sets=False, type__set_size__gte=2)
    return list(rows.select_related("type"))


def tubes_of(part: Part) -> list[Part]:
    """The tubes that belong to a set; none for a set whose tubes never had codes."""
    rows = Part.objects.of(part.collection).filter(lot=part.lot, units=1)
    found = rows.select_related("subject__state")
    return [one for one in found if state_of(one).set_of == part.code]


@dataclass(frozen=True)
class Label:
    """What a small label says of a set."""

    part: Part
    readings: tuple[tuple[str, str, str], ...]
    conditions: str
    day: str


def labels(collection: Collection, codes: Iterable[str] = ()) -> list[Label]:
    """Sets that were matched, newest first; those named, else all that wait on the shelf."""
    wanted = set(codes)
    rows = Event.objects.of(collection).filter(~superseded(), kind="matched")
    found = []
    for event in rows.select_related("subject__part__type", "subject__state").order_by("-sequence"):
        state = from_json(event.subject.state.detail)
        waits = not state.fitted_in and state.grade not in ("dead", APART)
        if event.subject.code in wanted or (not wanted and waits):
            read = tuple(tuple(row) for row in event.facts["readings"])
            day = event.earliest.isoformat() if event.earliest else ""
            found.append(Label(event.subject.part, read, event.facts["conditions"], day))
    return found


def fours(collection: Collection, type_codes: Iterable[str]) -> list[tuple[str, bool]]:
    """(circuit, one set of four) where four of a type work together: else two pairs will do."""
    wanted, sets = set(type_codes), {}
    rows = Position.objects.filter(circuit__collection=collection).select_related("circuit")
    for place in rows:
        if place.matched_with and wanted & set(place.fits):
            per_circuit = sets.setdefault(place.circuit.name, {})
            per_circuit[place.matched_with] = per_circuit.get(place.matched_with, 0) + 1
    return [(name, max(counts.values()) >= 4) for name, counts in sorted(sets.items())
            if sum(counts.values()) >= 4]  # fmt: skip


def spoken_for(parts: Iterable[tuple[Part, State]]) -> Mapping[tuple[int, str], int]:
    """Units of each (lot, bucket) that have a code: sets that wait and tubes that are loose."""
    found: dict[tuple[int, str], int] = {}
    for part, state in parts:
        if part.lot_id and not state.fitted_in and not state.set_of and ":" in (state.grade or ""):
            key = (part.lot_id, state.grade or "")
            found[key] = found.get(key, 0) + part.units
    return found


def _slips(collection: Collection, parts: list[Part]) -> dict[int, tuple[SlipNoted, int, str]]:
    rows = Event.objects.of(collection).filter(
        ~superseded(), kind="slip_noted", subject__in=[part.subject_id for part in parts]
    )
    found: dict[int, tuple[SlipNoted, int, str]] = {}
    for event in rows.order_by("placed_us", "sequence"):
        said = facts_of(event.kind, event.facts, event.facts_version)
        day = event.earliest.isoformat() if event.earliest else ""
        assert isinstance(said, SlipNoted)
        found[event.subject_id] = (said, event.sequence, day)
    return found


def _free(state: State) -> bool:
    return not state.fitted_in and not state.set_of and ":" in (state.grade or "")


def _alike(slip: SlipNoted) -> str:
    volts = (slip.plate_volts, slip.screen_volts, slip.grid_volts)
    return "|".join([" ".join(slip.tester.casefold().split()), *volts])


def state_of(part: Part) -> State:
    """What the book says of a part; its subject's state is loaded with it."""
    row = getattr(part.subject, "state", None)
    return from_json(row.detail) if row else State()

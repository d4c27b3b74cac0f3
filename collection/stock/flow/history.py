"""Where the units of a lot were at every moment, folded from the book entry by entry."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date

from collection.core.drawing.flow import FlowEnd, FlowPlot, flow_plot
from collection.core.entry import UNKNOWN_US, Placed, from_us
from collection.core.events import facts_of
from collection.core.events.received import Received
from collection.core.fold import apply
from collection.core.state import State
from collection.ledger.projection import ordered
from collection.stock.counting import LINE, Balance, balance, in_words
from collection.stock.models import Lot

MANNERS = {"lost": "gone", "dead": "gone", "unexplained": "ask", "kept-out": "kept"}


@dataclass(frozen=True)
class LotMoment:
    """A lot after one entry: its counts, what the book received, what papers promised."""

    on: date | None
    said: str
    number: int
    counts: Mapping[str, int]
    received: int
    promised: int | None
    differs: bool = False  # the entry itself said that shelf and book differ

    @property
    def balance(self) -> Balance:
        """The line that must come out."""
        return balance(self.counts)

    @property
    def balanced(self) -> bool:
        """Whether what was received is what stands in the buckets."""
        return self.balance.received == self.received


NOTHING = LotMoment(None, "", -1, {}, 0, None)


def moments_of(lot: Lot) -> list[LotMoment]:
    """A lot after each effective entry that moved its units, in order of happening; 3 queries."""
    return list(_moments(ordered(lot.subject), lot))


def _moments(entries: Iterable[Placed], lot: Lot) -> Iterable[LotMoment]:
    state, received, promised = State(), 0, None
    zone = lot.collection.zone_info
    for placed in entries:
        facts = facts_of(placed.entry.kind, placed.entry.facts, placed.entry.facts_version)
        before, state = state, apply(state, placed, lot.code, zone)
        if isinstance(facts, Received):
            received += facts.units
            noted = facts.delivery_note_units
            promised = promised if noted is None else (promised or 0) + noted
        elif state.counts == before.counts:
            continue
        yield LotMoment(
            on=None if placed.placed_us == UNKNOWN_US
            else from_us(placed.placed_us).astimezone(zone).date(),
            said=facts.sentence(),
            number=placed.entry.number,
            counts=dict(state.counts),
            received=received,
            promised=promised,
            differs=state.count("unexplained") != before.count("unexplained"),
        )  # fmt: skip


def as_of(moments: Iterable[LotMoment], day: date | None) -> LotMoment:
    """The last moment on or before a day; None: the last there is."""
    found = NOTHING
    for moment in moments:
        if day is not None and moment.on is not None and moment.on > day:
            break
        found = moment
    return found


# -- the picture -----------------------------------------------------------------------------
def picture(moment: LotMoment) -> FlowPlot:
    """The flow of a lot: received on the left, every bucket on the right.

    What papers promised and nobody counted in flows beside it, and so do units that were seen
    although the book never received them.
    """
    missing = max(0, (moment.promised or 0) - moment.received) if moment.promised else 0
    beyond = max(0, -moment.counts.get("unexplained", 0))
    sources = [
        FlowEnd("received", moment.received),
        FlowEnd("seen beyond the book", beyond, "ask"),
        FlowEnd("on the delivery note only", missing, "note"),
    ]
    ends = [FlowEnd(in_words(bucket), n, _manner(bucket)) for bucket, n in _in_line(moment.counts)]
    return flow_plot(sources, [*ends, FlowEnd("never counted in", missing, "note")])


def _in_line(counts: Mapping[str, int]) -> list[tuple[str, int]]:
    def place(bucket: str) -> tuple[int, str]:
        return LINE.index(bucket.partition(":")[0]), bucket

    return [(bucket, max(0, counts[bucket])) for bucket in sorted(counts, key=place)]


def _manner(bucket: str) -> str:
    return MANNERS.get(bucket.partition(":")[0], "")


def against_the_note(moment: LotMoment) -> str:
    """Delivery note against shelf in words; '' where no paper is known."""
    if moment.promised is None:
        return ""
    shelf = f"Delivery note {moment.promised}, counted in {moment.received}"
    apart = moment.promised - moment.received
    if not apart:
        return f"{shelf}: they agree."
    return f"{shelf}: {abs(apart)} {'fewer' if apart > 0 else 'more'} than the paper says."

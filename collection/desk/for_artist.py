"""The artist's page: tonight by song, and what changed since last night."""

from dataclasses import dataclass
from datetime import datetime

from collection.core.entry import to_us
from collection.desk.tonight import next_show
from collection.ledger.models import Event
from collection.ledger.queries import sentence_of, superseded
from collection.road.models import RigPosition, Show
from collection.road.needs import positions_of, show_today
from collection.road.overrides.queries import overrides_at, put_on
from collection.road.songs.queries import Grid, changed_lines, grid, set_list
from registry.access.models import Collection

# What a player hears or feels; custody and papers stay out, and with them every private place.
HEARD = (
    "died", "faulted", "fault_settled", "repaired", "modified", "serviced", "set_up",
    "fitted", "removed", "tagged_out", "tag_lifted",
)  # fmt: skip
MOST_CHANGES = 40


@dataclass(frozen=True)
class Change:
    """One thing that is otherwise than last night: which piece, what, and the entry if any."""

    words: str
    piece: str = ""
    entry: int | None = None


@dataclass(frozen=True)
class ArtistNight:
    """Everything the artist's page says; without a show only `coming`."""

    show: Show | None
    coming: bool = False  # the show is not today
    grid: Grid | None = None
    positions: tuple[RigPosition, ...] = ()
    last: Show | None = None
    changes: tuple[Change, ...] = ()


def artist_night(collection: Collection, *, now: datetime) -> ArtistNight:
    """Tonight's show, else the next one; the same few queries whatever the size."""
    tonight = show_today(collection, now=now)
    show = tonight or next_show(collection, now=now, after=None)
    if show is None:
        return ArtistNight(None)
    show.collection = collection
    last = _show_before(show)
    known = overrides_at([one for one in (show, last) if one])
    positions = put_on(positions_of(show.tour), show, known)
    lines, own = set_list(show.tour, show)
    changes = _changes(collection, show, last, positions, known, lines) if last else []
    return ArtistNight(
        show, tonight is None, grid(lines, positions, own=own), tuple(positions), last,
        tuple(changes),
    )  # fmt: skip


def _show_before(show: Show) -> Show | None:
    rows = Show.objects.filter(tour=show.tour, on__lte=show.on).exclude(pk=show.pk)
    earlier = rows.filter(number__lt=show.number).select_related("venue", "collection")
    return earlier.order_by("-on", "-number").first()


def _changes(collection, show, last, positions, known, lines) -> list[Change]:
    before, _ = set_list(show.tour, last)
    found = [Change(said) for said in changed_lines(before, lines)]
    for position in positions:
        was, is_now = known.get((last.pk, position.pk)), position.tonight
        if is_now and not was:
            found.append(Change(f"{position.name}: {is_now.because}"))
        elif was and not is_now:
            found.append(Change(f"{position.name}: as planned again."))
    return found + _from_the_book(collection, last, positions)


def _from_the_book(
    collection: Collection, last: Show, positions: list[RigPosition]
) -> list[Change]:
    pieces = {p.pk: p.code for row in positions for p in (row.piece, row.backup) if p}
    end = last.instant("off_stage") or last.instant("on_stage") or last.instant("load_in")
    rows = Event.objects.of(collection).filter(
        ~superseded(), kind__in=HEARD, subject__in=list(pieces),
        **({"placed_us__gt": to_us(end)} if end else {"earliest__gt": last.on}),
    )  # fmt: skip
    return [
        Change(sentence_of(event), pieces[event.subject_id], event.sequence)
        for event in rows.order_by("-sequence")[:MOST_CHANGES]
    ]

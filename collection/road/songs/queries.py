"""Reading songs and set lists, and the grid of songs and instruments."""

from collections.abc import Iterable
from dataclasses import dataclass

from django.db.models import Q, QuerySet

from collection.catalogue.models import Piece, PieceKind
from collection.road.models import RigPosition, Show, Tour
from collection.road.songs.models import SetListEntry, Song
from registry.access.models import Collection


@dataclass(frozen=True)
class Column:
    """An instrument of the night; `instead_of` is the one that the songs name."""

    piece: Piece | None
    called: str
    code: str
    instead_of: str = ""


@dataclass(frozen=True)
class Row:
    """One song of the set with which columns it takes."""

    number: int
    song: Song
    cells: tuple[bool, ...]

    @property
    def empty(self) -> bool:
        """Whether nobody has said what the song is played on."""
        return not any(self.cells)


@dataclass(frozen=True)
class Grid:
    """Set list against instruments, for one night."""

    columns: tuple[Column, ...]
    rows: tuple[Row, ...]
    own: bool  # whether the show has a set list of its own


def songs(collection: Collection) -> QuerySet[Song]:
    """Songs by title with their instruments; two queries."""
    return Song.objects.of(collection).prefetch_related("instruments__design")


def instruments(collection: Collection) -> QuerySet[Piece]:
    """What a song can be played on."""
    found = Piece.objects.of(collection).filter(kind=PieceKind.INSTRUMENT)
    return found.select_related("design").order_by("code")


def set_list(tour: Tour, show: Show | None) -> tuple[list[SetListEntry], bool]:
    """The lines of a night, and whether they are the show's own; three queries."""
    asked = Q(tour=tour, show__isnull=True)
    rows = SetListEntry.objects.filter(asked | Q(show=show) if show else asked)
    found = list(rows.select_related("song").prefetch_related("song__instruments__design"))
    own = [line for line in found if line.show_id is not None]
    return own or found, bool(own)


def own_lists(tour: Tour) -> set[int]:
    """Which shows of a tour have a set list of their own; one query."""
    found = SetListEntry.objects.filter(tour=tour, show__isnull=False)
    return set(found.values_list("show_id", flat=True))


def grid(lines: Iterable[SetListEntry], positions: Iterable[RigPosition], *, own: bool) -> Grid:
    """Songs in order against the instruments they take; a swapped one under its stand-in.

    Columns in the order in which the evening first needs them. No query of its own.
    """
    lines = list(lines)
    taken = {line.song_id: list(line.song.instruments.all()) for line in lines}
    first: dict[int, Piece] = {}
    for line in lines:
        for piece in taken[line.song_id]:
            first.setdefault(piece.pk, piece)
    swapped = {p.planned.pk: p.tonight for p in positions if p.planned and p.tonight}
    rows = tuple(
        Row(
            line.number, line.song, tuple(pk in {p.pk for p in taken[line.song_id]} for pk in first)
        )
        for line in lines
    )
    return Grid(tuple(_column(piece, swapped.get(piece.pk)) for piece in first.values()), rows, own)


def _column(piece: Piece, tonight) -> Column:
    if tonight is not None and tonight.piece is not None:
        stand_in = tonight.piece
        return Column(stand_in, stand_in.called, stand_in.code, instead_of=piece.code)
    if tonight is not None and tonight.outside is not None:
        hired = tonight.outside
        return Column(None, hired.name, hired.code, instead_of=piece.code)
    return Column(piece, piece.called, piece.code)


def changed_lines(before: list[SetListEntry], now: list[SetListEntry]) -> tuple[str, ...]:
    """What is otherwise in a set list than in the one before, as sentences."""
    old, new = [line.song.title for line in before], [line.song.title for line in now]
    said = [f"New in the set: {title}." for title in new if title not in old]
    said += [f"Not in the set: {title}." for title in old if title not in new]
    kept = [title for title in old if title in new]
    if kept != [title for title in new if title in old]:
        said.append("The order is another.")
    return tuple(said)

"""Reading sheets: those of a piece, the last good night, the one to set it by now."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, timedelta

from django.db.models import QuerySet

from collection.bench import queries as bench
from collection.bench.said import day_of, day_said, facts_said
from collection.catalogue import queries as catalogue
from collection.catalogue.models import Photo, Piece
from collection.core.events.settings_noted import Pairs
from collection.core.sheet_compared import Comparison, compared
from collection.core.sheet_layout import SET_UP, SETTINGS, Layout, layout, with_own_lines
from collection.core.wording import day
from collection.ledger.models import Event, Mention, Subject
from collection.ledger.queries import superseded
from registry.access.models import Collection, Membership
from registry.access.queries import member_names

KEPT = 40  # sheets of a piece a page knows
NIGHTS = 80  # shows looked through for a good one
RECENT = timedelta(days=45)  # shows a new sheet may be for
SHEETS = {"settings": SETTINGS, "set-up": SET_UP}  # by the word in the address
WORDS = {SETTINGS: "settings", SET_UP: "set-up"}


@dataclass(frozen=True)
class Sheet:
    """One sheet of a piece, with the show it was for and who set it down."""

    event: Event
    piece: Piece
    show: str
    who: str
    good: bool = False
    photos: tuple[Photo, ...] = ()

    @property
    def pairs(self) -> Pairs:
        """(line, words) as set down."""
        return facts_said(self.event).pairs  # type: ignore[attr-defined]

    @property
    def address(self) -> str:
        """The word for its kind in an address."""
        return WORDS[self.event.kind]

    @property
    def on(self) -> date | None:
        """The day, where exactly one is known."""
        return day_of(self.event)

    @property
    def when(self) -> str:
        """Its day with the weekday, or its date in words."""
        return day_said(self.event)

    @property
    def groups(self) -> list[tuple[str, list[tuple[str, str]]]]:
        """(heading, lines) in the order of the sheet, without lines that are blank."""
        said = dict(self.pairs)
        laid = with_own_lines(layout_of(self.piece, self.event.kind), said)
        found = [
            (group.heading, [(line.name, said[line.name]) for line in group.lines
                             if line.name in said])
            for group in laid
        ]  # fmt: skip
        return [(heading, lines) for heading, lines in found if lines]


@dataclass(frozen=True)
class Beside:
    """Two sheets and what differs."""

    was: Sheet
    now: Sheet
    found: Comparison

    @property
    def units(self) -> bool:
        """Whether they are of two pieces rather than of two nights."""
        return self.was.piece.pk != self.now.piece.pk


def layout_of(piece: Piece, kind: str) -> Layout:
    """The lines of a piece's sheet, with the panel of its design."""
    family = piece.family or (piece.design.family if piece.design else "")
    panel = piece.design.panel if piece.design else ()
    return layout(kind, kind=piece.kind, family=family, panel=panel)


def kinds_for(piece: Piece) -> list[str]:
    """Which sheets a piece has; settings always, if only with lines of its own."""
    return [SETTINGS, SET_UP] if layout_of(piece, SET_UP) else [SETTINGS]


def beside(was: Sheet, now: Sheet) -> Beside:
    """Two sheets compared, the lines in the order of the second one's layout."""
    laid = layout_of(now.piece, now.event.kind)
    return Beside(was, now, compared(was.pairs, now.pairs, laid))


def sheets_of(piece: Piece, member: Membership) -> list[Sheet]:
    """Effective sheets of a piece, newest first, with photos and shows; 5 queries."""
    rows = list(_effective(Event.objects.filter(subject=piece.subject))[:KEPT])
    return _sheets(rows, {piece.pk: piece}, member)


def sheet(collection: Collection, number: int, member: Membership) -> Sheet | None:
    """One sheet by the number of its entry, as it stands; None when there is none."""
    rows = list(_effective(Event.objects.of(collection)).filter(sequence=number))
    found = _sheets(rows, _pieces_of(collection, rows), member)
    return found[0] if found else None


def last_good(sheets: Iterable[Sheet], kind: str) -> Sheet | None:
    """The sheet of the latest night played without trouble, or the newest before its end."""
    return next((one for one in sheets if one.good and one.event.kind == kind), None)


def set_it_like_this(pieces: Iterable[Piece]) -> dict[str, Sheet]:
    """For each piece its settings to set it by: of the last good night, else the newest.

    By code; a piece without a sheet is left out. Five queries, however many pieces.
    """
    by_pk = {piece.pk: piece for piece in pieces if piece is not None}
    if not by_pk:
        return {}
    collection = next(iter(by_pk.values())).collection
    written = Event.objects.of(collection).filter(subject__in=by_pk, kind=SETTINGS)
    found = _sheets(list(_effective(written)[: KEPT * len(by_pk)]), by_pk, None)
    chosen: dict[str, Sheet] = {}
    for one in [*(sheet for sheet in found if sheet.good), *found]:
        chosen.setdefault(one.piece.code, one)
    return chosen


def comparable(piece: Piece, member: Membership) -> list[Sheet]:
    """Newest settings of the pieces of the same design, the piece itself left out."""
    others = bench.pieces(piece.collection).filter(design=piece.design_id).exclude(pk=piece.pk)
    rows = {other.pk: other for other in others} if piece.design_id else {}
    written = Event.objects.of(piece.collection).filter(subject__in=rows, kind=SETTINGS)
    newest: dict[int, Event] = {}
    for event in _effective(written)[: KEPT * 4]:
        newest.setdefault(event.subject_id, event)
    return _sheets(list(newest.values()), rows, member)


def recent_shows(collection: Collection, *, today: date) -> list[tuple[str, str, date]]:
    """(code, words, day) of shows that a sheet may be for, the next one first."""
    # The road stands above the bench: a show is found by the book's own relation to it.
    shows = Subject.objects.of(collection).filter(
        kind="show", show__on__gte=today - RECENT, show__on__lte=today + timedelta(days=1)
    )
    ordered = shows.select_related("show__venue").order_by("-show__on")
    return [(one.code, f"{day(one.show.on, today=None)}, {one.show}", one.show.on)
            for one in ordered]  # fmt: skip


def _effective(rows: QuerySet[Event]) -> QuerySet[Event]:
    kept = rows.filter(kind__in=[SETTINGS, SET_UP]).filter(~superseded())
    return kept.select_related("subject").order_by("-placed_us", "-sequence")


def _pieces_of(collection: Collection, rows: Iterable[Event]) -> dict[int, Piece]:
    named = [event.subject_id for event in rows]
    return {piece.pk: piece for piece in catalogue.pieces(collection).filter(pk__in=named)}


def _sheets(
    rows: list[Event], pieces: Mapping[int, Piece], member: Membership | None
) -> list[Sheet]:
    if not rows:
        return []
    collection = next(iter(pieces.values())).collection
    shows, who = _shows(collection, rows), member_names(collection)
    good, photos = _good(rows, pieces), _photos(collection, rows, member)
    return [
        Sheet(
            event,
            pieces[event.subject_id],
            shows.get(event.facts.get("show", ""), ""),
            who.get(event.recorded_by, event.recorded_by),
            good=event.sequence in good,
            photos=tuple(photos.get(event.sequence, ())),
        )
        for event in rows
    ]


def _shows(collection: Collection, rows: Iterable[Event]) -> dict[str, str]:
    codes = {event.facts.get("show", "") for event in rows} - {""}
    if not codes:
        return {}
    found = Subject.objects.of(collection).filter(code__in=codes).select_related("show__venue")
    return {one.code: str(getattr(one, "show", one.code)) for one in found}


def _photos(
    collection: Collection, rows: Iterable[Event], member: Membership | None
) -> dict[int, list[Photo]]:
    if member is None:
        return {}
    kept: dict[int, list[Photo]] = {}
    entries = [event.sequence for event in rows]
    for photo in catalogue.photos(collection, member).filter(entry__in=entries):
        kept.setdefault(photo.entry, []).append(photo)
    return kept


def _good(rows: list[Event], pieces: Mapping[int, Piece]) -> set[int]:
    """Entries of the sheets that the last good night of each piece was played by."""
    nights = _last_good_nights(pieces)
    good: set[int] = set()
    for pk, night in nights.items():
        for kind in (SETTINGS, SET_UP):
            own = [one for one in rows if one.subject_id == pk and one.kind == kind]
            named = [one for one in own if one.facts.get("show") == night.subject.code]
            before = [one for one in own if one.placed_us <= night.placed_us]
            good |= {one.sequence for one in [*named, *before][:1]}
    return good


def _last_good_nights(pieces: Mapping[int, Piece]) -> dict[int, Event]:
    """By piece: the latest show in which it sounded without trouble."""
    codes = {piece.code: pk for pk, piece in pieces.items()}
    mentioned = Mention.objects.filter(subject__in=pieces, entry__kind="played").values("entry")
    played = Event.objects.filter(pk__in=mentioned).filter(~superseded())
    found: dict[int, Event] = {}
    for event in played.select_related("subject").order_by("-placed_us", "-sequence")[:NIGHTS]:
        for code in event.facts.get("pieces", ()):
            if code in codes:
                found.setdefault(codes[code], event)
    return found

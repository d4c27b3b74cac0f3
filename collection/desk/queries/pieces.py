"""The list of pieces: what each line says, and what it can be narrowed by."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta

from django.db.models import F, Q, QuerySet, Value
from django.db.models.functions import Coalesce, NullIf

from collection.catalogue import queries as catalogue
from collection.catalogue.models import Photo, Piece
from collection.core.fold_text import folded
from collection.core.partial_date import PartialDate
from collection.core.state import State, from_json
from collection.core.working import DAYS, FAILED, Verdict, Working, working
from collection.desk.queries.whereabouts import Places
from registry.access.models import Collection, Membership

GLYPHS: dict[Verdict, str] = {
    "fresh": "ok", "unproven": "bare", "not-working": "over", "told": "ask", "unknown": "ask",
}  # fmt: skip
STANDINGS = {
    "held": "held, with us",
    "lent": "held by somebody else",
    "stolen": "stolen",
    "not_found": "not found",
    "quarantined": "quarantined",
    "sold": "sold",
    "disposed": "disposed of",
    "stripped": "stripped for parts",
    "given_back": "given back to its owner",
}
STANDING_GLYPHS = {
    "lent": "tour", "stolen": "gone", "not_found": "gone",
    "quarantined": "wait", "sold": "void", "disposed": "void", "stripped": "void",
    "given_back": "void",
}  # fmt: skip
AT = "subject__state__"


@dataclass(frozen=True)
class PieceLine:
    """One line of the list."""

    piece: Piece
    state: State
    working: Working
    where: str
    photo: Photo | None

    @property
    def glyph(self) -> str:
        """The glyph of its working."""
        return GLYPHS[self.working.verdict]

    @property
    def stands(self) -> str:
        """Its standing as the list can be narrowed by it."""
        lent = self.state.standing == "held" and self.state.holder
        return "lent" if lent else self.state.standing

    @property
    def standing(self) -> str:
        """Its standing in words, '' while it is simply with us."""
        return "" if self.stands == "held" else STANDINGS.get(self.stands, self.stands)

    @property
    def standing_glyph(self) -> str:
        """The glyph of its standing."""
        return STANDING_GLYPHS.get(self.stands, "ask")

    @property
    def built(self) -> str:
        """The build date in words."""
        return PartialDate.parse(self.piece.year).sentence() if self.piece.year else ""

    @property
    def tagged_out(self) -> bool:
        """Whether DO NOT POWER hangs on it."""
        return self.state.tag is not None and not self.state.tag.proposed

    @property
    def tag_proposed(self) -> bool:
        """Whether somebody's words ask for a tag that nobody has hung or dropped yet."""
        return self.state.tag is not None and self.state.tag.proposed


def listed(collection: Collection) -> QuerySet[Piece]:
    """Pieces with their state and the name they are sorted by."""
    said = Coalesce(
        NullIf("name", Value("")), "design__name", NullIf("family", Value("")), F("kind")
    )
    return catalogue.pieces(collection).select_related("subject__state").annotate(said=said)


def lines(
    pieces: Iterable[Piece], *, member: Membership, places: Places, today: date
) -> list[PieceLine]:
    """The lines of a page; one query for the photos."""
    shown = list(pieces)
    photos = catalogue.first_photos(member.collection, member, shown)
    return [_line(piece, photos.get(piece.pk), places, today) for piece in shown]


def _line(piece: Piece, photo: Photo | None, places: Places, today: date) -> PieceLine:
    row = getattr(piece.subject, "state", None)
    state = from_json(row.detail) if row else State()
    where = places.words(row.place_id) if row else ""
    return PieceLine(piece, state, working(state, today=today), where, photo)


def standing_as(standing: str) -> Q:
    """Pieces of a standing; held by somebody else is a loan or a stay elsewhere."""
    if standing in {"held", "lent"}:
        with_us = Q(**{f"{AT}holder__isnull": standing == "held"})
        return Q(**{f"{AT}standing": "held"}) & with_us
    return Q(**{f"{AT}standing": standing})


def matching(text: str) -> Q:
    """Pieces with every word of a text in code, name, nickname, serial or what was drawn."""
    asked = Q()
    for word in folded(text).split():
        asked &= Q(search__contains=word)
    return asked


def built_within(first: int | None, last: int | None) -> Q:
    """Pieces that may have been built between two years, both included; unknown years do not."""
    asked = Q(built_from__isnull=False) | Q(built_to__isnull=False)
    if first is not None:
        asked &= Q(built_to__isnull=True) | Q(built_to__gte=date(first, 1, 1))
    if last is not None:
        asked &= Q(built_from__isnull=True) | Q(built_from__lte=date(last, 12, 31))
    return asked


YEAR_UNKNOWN = Q(built_from__isnull=True, built_to__isnull=True)


def amounting_to(verdict: str, *, today: date) -> Q:
    """Pieces whose evidence amounts to a verdict; what `core.working` says, as a query."""
    columns = {"powered": "powered_on", "played-hot": "played_hot_on",
               "bench-checked": "bench_checked_on"}  # fmt: skip
    proved, fresh = Q(), Q()
    for level, column in columns.items():
        proved |= Q(**{f"{AT}{column}__isnull": False})
        fresh |= Q(**{f"{AT}{column}__gte": today - timedelta(days=DAYS[level])})
    faulty = Q(**{f"{AT}open_faults__gt": 0})
    ended = Q(**{f"{AT}detail__has_key": "unproven_since"})
    # Spelt with has_key: a missing key makes the comparison NULL, and NOT NULL is not true.
    because = Q(**{f"{AT}detail__has_key": "unproven_because"})
    failed = because & Q(**{f"{AT}detail__unproven_because": FAILED})
    other = ~because | ~Q(**{f"{AT}detail__unproven_because": FAILED})
    hearsay = ~proved & ~faulty & ~ended
    said_yes, said_no = Q(**{f"{AT}told_works": "yes"}), Q(**{f"{AT}told_works": "no"})
    return {
        "fresh": proved & ~faulty & fresh,
        "unproven": (proved & (faulty | ~fresh)) | (~proved & ~faulty & ended & other),
        "not-working": (~proved & (faulty | failed)) | (hearsay & said_no),
        "told": hearsay & said_yes,
        "unknown": hearsay & ~said_yes & ~said_no,
    }[verdict]


TAGGED = {
    "out": Q(**{f"{AT}tagged_out": True}),
    "proposed": Q(**{f"{AT}tagged_out": False, f"{AT}detail__has_key": "tag"}),
    "none": Q(**{f"{AT}tagged_out": False}) & ~Q(**{f"{AT}detail__has_key": "tag"}),
}

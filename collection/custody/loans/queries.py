"""Reading loans: what is out and in, with whom, until when, and what is overdue."""

from dataclasses import dataclass
from datetime import date
from itertools import zip_longest

from django.db.models import Prefetch, QuerySet

from collection.catalogue import queries as catalogue
from collection.catalogue.models import Photo, Piece
from collection.core.loan import OUT, not_back
from collection.custody.cases.goes_with import goes_with_check
from collection.custody.loans.models import Loan, LoanedPiece
from collection.ledger.models import Event
from collection.ledger.queries import sentence_of, superseded
from registry.access.models import Collection, Membership

OVER_SHOWN = 20
NOT_WRITTEN = "nothing was written"


def loans(collection: Collection) -> QuerySet[Loan]:
    """Loans with party, place and pieces; 2 queries."""
    pieces = LoanedPiece.objects.select_related("piece__design", "piece__subject__state")
    rows = Loan.objects.of(collection).select_related("party", "at", "subject__state", "collection")
    return rows.prefetch_related(Prefetch("pieces", pieces))


@dataclass(frozen=True)
class LoanLine:
    """A loan as it stands on a day."""

    loan: Loan
    today: date

    @property
    def condition(self) -> str:
        """How far it has come; '' when the entries that handed everything over were taken back."""
        state = getattr(self.loan.subject, "state", None)
        return state.condition if state else ""

    @property
    def out(self) -> list[LoanedPiece]:
        """Its pieces that are not back."""
        if self.condition != OUT:
            return []
        return [row for row in self.loan.pieces.all() if row.back_entry is None]

    @property
    def over(self) -> bool:
        """Whether everything is back."""
        return not self.out

    @property
    def overdue_days(self) -> int:
        """Days past its end while something is still out; 0 in time."""
        return 0 if self.over else max((self.today - self.loan.ends_on).days, 0)

    @property
    def days_left(self) -> int:
        """Days until its end."""
        return max((self.loan.ends_on - self.today).days, 0)

    @property
    def mark(self) -> str:
        """The glyph of how it stands; red only when it is overdue."""
        if self.over:
            return "ok" if self.condition else "void"
        return "over" if self.overdue_days else "tour"

    @property
    def words(self) -> str:
        """How it stands."""
        if self.over:
            return "over" if self.condition else "taken back"
        if self.overdue_days:
            return f"overdue by {self.overdue_days} day{'s' if self.overdue_days > 1 else ''}"
        return self.loan.get_way_display()


@dataclass(frozen=True)
class Loans:
    """Loans by where the pieces are; what is overdue first."""

    lent: list[LoanLine]
    taken_in: list[LoanLine]
    over: list[LoanLine]

    @property
    def overdue(self) -> list[LoanLine]:
        """Everything past its end."""
        return [line for line in (*self.lent, *self.taken_in) if line.overdue_days]


def all_loans(collection: Collection, *, today: date) -> Loans:
    """Every loan that is running, the earliest end first, and those that are over; 2 queries."""
    lines = [LoanLine(loan, today) for loan in loans(collection)]
    running = sorted((one for one in lines if not one.over), key=lambda one: one.loan.ends_on)
    return Loans(
        [one for one in running if one.loan.lent],
        [one for one in running if not one.loan.lent],
        [one for one in lines if one.over][:OVER_SHOWN],
    )


@dataclass(frozen=True)
class Pair:
    """The same view of a piece handed over and given back; either may be missing."""

    view: str
    before: Photo | None
    after: Photo | None


@dataclass(frozen=True)
class PieceOnLoan:
    """A piece of a loan with its photos side by side."""

    row: LoanedPiece
    pairs: list[Pair]
    missing: tuple[str, ...] = ()  # what went with it and was not there when it was given back

    @property
    def along(self) -> list[str]:
        """What went with it."""
        return list(self.row.goes_with)

    @property
    def tag(self) -> str:
        """Why it may not be powered, '' when it may: whoever takes it over has to know."""
        return tag_of(self.row.piece)


@dataclass(frozen=True)
class LoanPage:
    """All that the page and the sheet of a loan say."""

    line: LoanLine
    pieces: list[PieceOnLoan]
    signed: list[Photo]
    ends: list[str]  # how its last day was changed, in sentences

    @property
    def loan(self) -> Loan:
        """The loan's row."""
        return self.line.loan


def page_of(loan: Loan, *, today: date, member: Membership) -> LoanPage:
    """The page of a loan; 3 queries beside the loan."""
    rows = list(loan.pieces.all())
    subjects = [loan.pk, *(row.piece_id for row in rows)]
    found = list(catalogue.photos(loan.collection, member).filter(subject__in=subjects))
    short = _short(loan)
    return LoanPage(
        LoanLine(loan, today),
        [PieceOnLoan(row, pairs_of(row, found), short.get(row.piece_id, ())) for row in rows],
        [photo for photo in found if photo.subject_id == loan.pk],
        _ends(loan),
    )


def _ends(loan: Loan) -> list[str]:
    rows = Event.objects.of(loan.collection).filter(subject=loan.pk, kind="extended")
    return [sentence_of(event) for event in rows.filter(~superseded()).order_by("sequence")]


def _short(loan: Loan) -> dict[int, tuple[str, ...]]:
    """What did not come back, by piece, as the book has it today."""
    rows = Event.objects.of(loan.collection).filter(
        ~superseded(), kind__in=["returned", "hired_back"], facts__loan=loan.code
    )
    told = {
        one.subject_id: one.facts.get("came_with") or one.facts.get("went_with") for one in rows
    }
    return {key: tuple(not_back(pairs or ())) for key, pairs in told.items()}


def pairs_of(row: LoanedPiece, photos: list[Photo]) -> list[Pair]:
    """Photos out and in, view by view in the order they were taken."""
    own = [photo for photo in photos if photo.subject_id == row.piece_id]
    out = [photo for photo in own if photo.entry == row.out_entry]
    back = [photo for photo in own if row.back_entry and photo.entry == row.back_entry]
    views = dict.fromkeys(photo.view for photo in (*out, *back))
    return [
        Pair(Photo.View(view).label, before, after)
        for view in views
        for before, after in zip_longest(
            [one for one in out if one.view == view], [one for one in back if one.view == view]
        )
    ]


def lendable(collection: Collection) -> QuerySet[Piece]:
    """Pieces with their state, by code."""
    return catalogue.pieces(collection).select_related("subject__state", "design").order_by("code")


def tag_of(piece: Piece) -> str:
    """The reason on its DO NOT POWER tag, '' without one."""
    state = getattr(piece.subject, "state", None)
    tag = state.detail.get("tag") if state else None
    return tag["reason"] if tag else ""


def along_of(piece: Piece) -> list[str]:
    """What goes with a piece, thing by thing."""
    return [one.what for one in goes_with_check(piece)]


def loan_of(piece: Piece) -> Loan | None:
    """The loan on which a piece is out now; 1 query."""
    rows = LoanedPiece.objects.filter(piece=piece, back_entry__isnull=True)
    row = rows.select_related("loan__party", "loan__collection").order_by("-pk").first()
    return row.loan if row else None

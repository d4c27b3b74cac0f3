"""Photos of the same view side by side: two pieces, one piece over the years, a finder's photo."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from django import forms

from collection.catalogue.models import Photo, Piece
from collection.catalogue.photo_field import PhotoField
from collection.catalogue.queries import photos_of
from collection.core.events.noted import Noted
from collection.custody.filed.actions import file_paper
from collection.custody.filed.models import FiledPaper
from collection.custody.filed.queries import filed
from collection.ledger.actions import open_book
from collection.ledger.forms import WritingForm
from collection.ledger.models import Event, Subject
from registry.access.models import Membership

ABOUT = "photos compared"
FINDER = "Finder's photo"
# Shapes first, then what no copy has.
ORDER = ("front", "back", "grain", "scar", "serial", "chassis", "other")


@dataclass(frozen=True)
class Pair:
    """One view: our photos of it, and those held beside them."""

    view: str
    words: str
    ours: tuple[Photo, ...]
    theirs: tuple[Photo, ...]


def pairs(ours: Iterable[Photo], theirs: Iterable[Photo]) -> tuple[Pair, ...]:
    """Every view that either side has: those of both first, each in the order of `ORDER`."""
    left, right = list(ours), list(theirs)
    found = tuple(
        Pair(
            view,
            Photo.View(view).label,
            tuple(one for one in left if one.view == view),
            tuple(one for one in right if one.view == view),
        )
        for view in ORDER
        if any(one.view == view for one in (*left, *right))
    )
    return tuple(sorted(found, key=lambda pair: not (pair.ours and pair.theirs)))


def one_piece(photos: list[Photo]) -> tuple[Pair, ...]:
    """The photos of one piece against each other: the first of each view beside the later ones."""
    first: dict[str, Photo] = {}
    for photo in sorted(photos, key=lambda one: one.pk):
        first.setdefault(photo.view, photo)
    later = [photo for photo in photos if first[photo.view].pk != photo.pk]
    return pairs(first.values(), later)


def finders_photos(file: Subject) -> list[FiledPaper]:
    """What finders sent, filed with an incident."""
    return [row for row in filed(file.collection).filter(subject=file) if _of_a_finder(row)]


def _of_a_finder(row: FiledPaper) -> bool:
    return row.photo is not None and row.title.startswith(FINDER) and not row.photo.taken_out_at


def against(
    piece: Piece, member: Membership, *, other: Piece | None, found: list[FiledPaper]
) -> tuple[Pair, ...]:
    """Our photos beside another piece's, beside finders', or beside themselves."""
    ours = photos_of(piece.subject, member)
    if other is not None:
        return pairs(ours, photos_of(other.subject, member))
    if found:
        return pairs(ours, [row.photo for row in found if row.photo])
    return one_piece(ours)


class FinderForm(forms.Form):
    """A photo that somebody sent of what may be ours."""

    photo = PhotoField(required=True, label="The photo as it came")
    view = forms.ChoiceField(choices=Photo.View.choices, label="It shows", initial="front")
    from_whom = forms.CharField(
        max_length=80, label="Who sent it, and how", help_text="A shop, by mail; kept in the file."
    )

    def keep(self, file: Subject, piece: Piece, by: Membership) -> FiledPaper:
        """File it as evidence."""
        given = self.cleaned_data
        title = f"{FINDER}, {piece.code}, {Photo.View(given['view']).label}"
        return file_paper(
            subject=file, by=by, title=title, content=given["photo"],
            from_whom=given["from_whom"], view=given["view"],
        )  # fmt: skip


class VerdictForm(WritingForm):
    """What the comparison showed."""

    verdict = forms.ChoiceField(
        choices=[(v, v) for v in ("the same piece", "another piece", "cannot tell")],
        label="What the photos say",
        widget=forms.RadioSelect,
    )
    because = forms.CharField(
        max_length=300, label="By what", help_text="Grain beside the bridge, scar, screw holes."
    )

    def __init__(self, *args: Any, code: str, beside: str, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.code, self.beside = code, beside
        del self.fields["words"]

    def telling(self) -> Any:
        """The verdict as the words of the note."""
        self.cleaned_data["words"] = (
            f"Beside {self.beside}: {self.cleaned_data['verdict']}. {self.cleaned_data['because']}"
        )
        return super().telling()

    def write(self, **how: Any) -> Event:
        """A note about the piece; it proves nothing by itself."""
        with open_book(self.collection, self.member) as book:
            return book.append(Noted(about=ABOUT), self.code, how["telling"])

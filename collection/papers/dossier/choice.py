"""What somebody chose to show, held against what there is."""

from collections.abc import Iterable
from dataclasses import dataclass, field

from collection.catalogue.models import Photo
from collection.papers.dossier.queries import History, HistoryLine

MOST_PHOTOS = 60
SUGGESTED_PHOTOS = 24


@dataclass(frozen=True)
class Choice:
    """Lines by number, lines whose words go along, photos by key, parties named by their code."""

    lines: frozenset[int] = frozenset()
    words: frozenset[int] = frozenset()
    photos: frozenset[int] = frozenset()
    named: frozenset[str] = frozenset()
    for_whom: str = field(default="", compare=False)


def suggested(history: History) -> Choice:
    """What is ticked before anybody chose: nothing private, no words that name somebody."""
    lines = [line for line in history.lines if not line.private]
    words = [line.number for line in lines if line.has_words and not line.words_leak]
    return Choice(
        frozenset(line.number for line in lines),
        frozenset(words),
        frozenset(photo.pk for photo in shown_photos(history.photos)),
    )


def shown_photos(photos: Iterable[Photo]) -> list[Photo]:
    """Those that strangers may see, in their order, as many as are ticked before anybody chose."""
    kept = [one for one in photos if not one.shows_mark and one.taken_out_at is None]
    return kept[:SUGGESTED_PHOTOS]


@dataclass(frozen=True)
class Chosen:
    """A history with the choice that was made of it."""

    history: History
    choice: Choice

    @property
    def lines(self) -> list[HistoryLine]:
        """Chosen lines, in order of happening."""
        return [line for line in self.history.lines if line.number in self.choice.lines]

    @property
    def photos(self) -> list[Photo]:
        """Chosen photos."""
        return [photo for photo in self.history.photos if photo.pk in self.choice.photos]

    @property
    def numbers(self) -> list[int]:
        """Numbers of every entry that goes along, struck ones too."""
        return sorted(event.sequence for line in self.lines for event in line.events)

    @property
    def left_out(self) -> int:
        """How many lines of the history it does not show."""
        return len(self.history.lines) - len(self.lines)

    def tells(self, line: HistoryLine) -> bool:
        """Whether the words of a line go along."""
        return line.number in self.choice.words

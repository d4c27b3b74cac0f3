"""What goes into a dossier: lines, their words, photos, names; sensible before anybody ticks."""

from dataclasses import dataclass
from functools import cached_property

from django import forms

from collection.ledger.lines import when_of
from collection.papers.dossier.choice import (
    MOST_PHOTOS,
    Choice,
    Chosen,
    suggested,
)
from collection.papers.dossier.queries import History, HistoryLine
from collection.papers.dossier.told import Teller

GROUPS = (
    ("titles", "Titles", frozenset({"acquired", "title_changed", "sold", "disposed"})),
    (
        "what",
        "What it is",
        frozenset({"described", "photographed", "documented", "originality_checked"}),
    ),
    ("road", "Shows and sessions", frozenset({"played", "died"})),
    (
        "bench",
        "At the bench",
        frozenset(
            "faulted fault_settled repaired modified serviced inspected safety_tested tagged_out "
            "tag_lifted set_up settings_noted measured meter_read fitted removed issued pulled "
            "died_in_use matched parted sent_to_repair booked_in diagnosed quoted approved "
            "back_from_repair told_working stripped_for_parts".split()
        ),
    ),
    (
        "where",
        "Where it was, who had it",
        frozenset(
            "moved sighted not_found stolen recovered cleared lent returned shipped arrived "
            "counted".split()
        ),
    ),
    ("asked", "Questions", frozenset({"asked", "answered"})),
    ("else", "Notes and the rest", frozenset()),
)
PRIVATE = ("private", "Private, left out unless you tick it")
_GROUP_OF = {kind: key for key, _, kinds in GROUPS for kind in kinds}


@dataclass(frozen=True)
class Tick:
    """One line of the history with its two boxes."""

    line: HistoryLine
    says: str
    when: str
    ticked: bool
    words_ticked: bool


@dataclass(frozen=True)
class Group:
    """Lines of one sort, with how many are ticked."""

    key: str
    name: str
    ticks: list[Tick]

    @property
    def ticked(self) -> int:
        """How many go along."""
        return sum(tick.ticked for tick in self.ticks)


class ChooseForm(forms.Form):
    """Everything that can be ticked; what is not in the history is refused."""

    for_whom = forms.CharField(
        required=False,
        max_length=80,
        label="For whom",
        help_text="Printed on it and kept in the list: the buyer, the insurer, an auction house.",
    )
    lines = forms.TypedMultipleChoiceField(
        coerce=int,
        label="Entries",
        error_messages={
            "required": "Tick at least one entry: a dossier without any shows nothing."
        },
    )
    words = forms.TypedMultipleChoiceField(coerce=int, required=False, label="With their words")
    photos = forms.TypedMultipleChoiceField(coerce=int, required=False, label="Photos")
    named = forms.MultipleChoiceField(
        required=False,
        label="Print the names of",
        widget=forms.CheckboxSelectMultiple,
        help_text="Everybody else stands by role, or as a private collection.",
    )
    once = forms.CharField(required=False, max_length=64, widget=forms.HiddenInput)

    def __init__(self, data=None, *, history: History, shows: dict[str, str], **kwargs) -> None:
        super().__init__(data, **kwargs)
        self.history, self.shows = history, shows
        numbers = [(line.number, line.number) for line in history.lines]
        self.fields["lines"].choices = self.fields["words"].choices = numbers
        self.fields["photos"].choices = [(photo.pk, photo.pk) for photo in history.photos]
        self.fields["named"].choices = _parties(history)
        if not self.fields["named"].choices:
            del self.fields["named"]

    def clean_photos(self) -> list[int]:
        """No more than one paper can bear."""
        photos = self.cleaned_data["photos"]
        if len(photos) > MOST_PHOTOS:
            raise forms.ValidationError(
                f"{len(photos)} photos are too many; {MOST_PHOTOS} at most."
            )
        return photos

    def chosen(self) -> Chosen:
        """The history with what was ticked."""
        given = self.cleaned_data
        choice = Choice(
            frozenset(given["lines"]),
            frozenset(given["words"]),
            frozenset(given["photos"]),
            frozenset(given.get("named", ())),
            given["for_whom"],
        )
        return Chosen(self.history, choice)

    @cached_property
    def groups(self) -> list[Group]:
        """All lines by sort, the newest first, the private ones last."""
        sorted_in: dict[str, list[Tick]] = {key: [] for key, *_ in (*GROUPS, PRIVATE)}
        teller = Teller(Chosen(self.history, Choice(named=frozenset())), self.shows)
        lines, words = self._ticked("lines"), self._ticked("words")
        for line in reversed(self.history.lines):
            says, when = teller.sentence(line.last), when_of(line.last)
            ticked = (line.number in lines, line.number in words)
            sorted_in[_key(line)].append(Tick(line, says, when, *ticked))
        return [
            Group(key, name, sorted_in[key])
            for key, name, *_ in (*GROUPS, PRIVATE)
            if sorted_in[key]
        ]

    @property
    def pictures(self) -> list[tuple[object, bool]]:
        """Each photo and whether it is ticked."""
        ticked = self._ticked("photos")
        return [(photo, photo.pk in ticked) for photo in self.history.photos]

    def _ticked(self, name: str) -> set[int]:
        if self.is_bound:
            return {int(one) for one in self.data.getlist(name) if one.isdecimal()}
        return set(getattr(suggested(self.history), name))


def pressed_again(data, history: History):
    """The sent ticks after 'Tick all' or 'Tick none' of one group was pressed."""
    key, _, how = data["tick"].partition(":")
    changed = data.copy()
    of_group = {str(line.number) for line in history.lines if _key(line) == key}
    rest = [one for one in data.getlist("lines") if one not in of_group]
    changed.setlist("lines", rest + (sorted(of_group) if how == "all" else []))
    return changed


def _key(line: HistoryLine) -> str:
    return "private" if line.private else _GROUP_OF.get(line.last.kind, "else")


def _parties(history: History) -> list[tuple[str, str]]:
    """Parties that the history names, with what outsiders read instead."""
    named = {code for line in history.lines for e in line.events for code in e.names.values()}
    rows = [history.privacy.parties[code] for code in named & history.privacy.parties.keys()]
    rows.sort(key=lambda party: party.name.casefold())
    return [(p.code, f"{p.name} (else: {p.outward or 'a person not named'})") for p in rows]

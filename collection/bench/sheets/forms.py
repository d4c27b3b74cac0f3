"""The form of a sheet: one field a line, started from another sheet where there is one."""

from collections.abc import Iterator
from typing import Any

from django import forms
from django.forms.boundfield import BoundField
from django.utils.text import slugify

from collection.bench.forms import RecordForm
from collection.bench.sheets import actions, queries
from collection.bench.sheets.queries import Sheet
from collection.core.sheet_layout import SET_UP, SheetLine, with_own_lines
from collection.ledger.models import Event

BLANKS = 3  # lines for what the sheet does not ask for
MOST = 120  # characters a line may have


class SheetForm(RecordForm):
    """How a piece stands, line by line, with the photo of the tape marks."""

    kind, title = "settings_noted", "Settings"
    show = forms.ChoiceField(required=False, label="For which show")

    def __init__(self, *args, sheet: str, like: Sheet | None = None, **kwargs) -> None:
        super().__init__(*args, **kwargs)
        self.kind, self.like = sheet, like
        self.title = "Set-up" if sheet == SET_UP else "Settings"
        said = dict(like.pairs) if like else {}
        self.layout = with_own_lines(queries.layout_of(self.piece, sheet), said)
        for line in self._lines():
            self.fields[_key(line.name)] = _field(line, said.get(line.name, ""))
        for number in range(BLANKS):
            self.fields[f"more-name-{number}"] = _blank("What", 40)
            self.fields[f"more-words-{number}"] = _blank("How it stands", MOST)
        self._offer_shows()
        self.fields["words"].label = "Why it moved, in your words"
        self.fields["photo"].label = "A photo of the tape marks"

    def _offer_shows(self) -> None:
        today = self.now.astimezone(self.collection.zone_info).date()
        shows = queries.recent_shows(self.collection, today=today)
        self.fields["show"].choices = [("", "none in particular")] + [
            (code, words) for code, words, _ in shows
        ]
        self.fields["show"].initial = next((code for code, _, on in shows if on == today), "")

    def _lines(self) -> Iterator[SheetLine]:
        return (line for group in self.layout for line in group.lines)

    @property
    def groups(self) -> list[tuple[str, list[tuple[SheetLine, BoundField]]]]:
        """(heading, lines with their fields) in the order of the sheet."""
        return [
            (group.heading, [(line, self[_key(line.name)]) for line in group.lines])
            for group in self.layout
        ]

    @property
    def blanks(self) -> list[tuple[BoundField, BoundField]]:
        """Lines for what the sheet does not ask for."""
        return [(self[f"more-name-{n}"], self[f"more-words-{n}"]) for n in range(BLANKS)]

    @property
    def told(self) -> list[BoundField]:
        """The fields below the sheet."""
        return [self[name] for name in ("show", "words", "photo")]

    def clean(self) -> dict[str, Any]:
        """Something must be said, and what is said needs its name."""
        cleaned = super().clean()
        for number in range(BLANKS):
            if cleaned.get(f"more-words-{number}") and not cleaned.get(f"more-name-{number}"):
                self.add_error(f"more-name-{number}", "Say what this is.")
        if not self.errors and not any(words for _, words in self.pairs()):
            self.add_error(None, "Nothing is set down yet: fill in one line at least.")
        return cleaned

    def pairs(self) -> list[tuple[str, str]]:
        """(line, words) as typed, blank ones too."""
        given = self.cleaned_data
        own = [(given.get(f"more-name-{n}", ""), given.get(f"more-words-{n}", ""))
               for n in range(BLANKS)]  # fmt: skip
        asked = [(line.name, given.get(_key(line.name), "")) for line in self._lines()]
        return [*asked, *((name, words) for name, words in own if name)]

    def write(self, **how: Any) -> Event:
        like = self.like.event.sequence if self.like else None
        show = self.cleaned_data["show"]
        said = {"sheet": self.kind, "pairs": self.pairs(), "show": show, "like": like}
        return actions.note_sheet(code=self.piece.code, **said, **how)


def _key(name: str) -> str:
    return f"said-{slugify(name, allow_unicode=True)}"


def _blank(label: str, longest: int) -> forms.CharField:
    return forms.CharField(required=False, max_length=longest, label=label)


def _field(line: SheetLine, said: str) -> forms.CharField:
    field = forms.CharField(required=False, max_length=MOST, label=line.name, help_text=line.hint)
    field.initial = said
    field.widget.attrs["autocomplete"] = "off"
    if line.offers:
        field.widget.attrs["list"] = f"offers-{slugify(line.name, allow_unicode=True)}"
    return field

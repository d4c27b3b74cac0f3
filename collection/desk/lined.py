"""A sheet of lines under headings: as a page, as a paper, as a letter."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from collection.core.date_sentence import day_words
from registry.access.models import Collection
from registry.typesetting import typeset


@dataclass(frozen=True)
class Item:
    """One line: what, more of it in small words, a word at its end, where it leads on the page.

    `link`: the name of an address and its codes. `mark`: the glyph of a state, '' for none, whose
    words are `aside`. `inside`: stays off whatever leaves the house.
    """

    what: str
    more: str = ""
    aside: str = ""
    link: tuple[str, ...] = ()
    mark: str = ""
    inside: bool = False


@dataclass(frozen=True)
class Heading:
    """Lines that belong together; `none` says that there are none, `note` stands above them."""

    key: str
    title: str
    items: tuple[Item, ...] = ()
    none: str = "Nothing."
    note: str = ""


@dataclass(frozen=True)
class Lined:
    """The whole sheet; `signs`: (label, name) of the lines to sign on."""

    name: str
    code: str
    title: str
    lead: tuple[str, ...]
    headings: tuple[Heading, ...]
    signs: tuple[tuple[str, str], ...] = ()

    @property
    def outward(self) -> "Lined":
        """The same without what stays inside."""
        kept = (replace(h, items=tuple(i for i in h.items if not i.inside)) for h in self.headings)
        return replace(self, headings=tuple(kept))


def heading(key: str, title: str, items: Iterable[Item], none: str, note: str = "") -> Heading:
    """A heading from whatever yields its lines."""
    return Heading(key, title, tuple(items), none, note)


def as_pdf(sheet: Lined, collection: Collection, *, now: datetime) -> bytes:
    """The sheet as a paper."""
    data = {
        "name": sheet.name,
        "code": sheet.code,
        "title": sheet.title,
        "lead": list(sheet.lead),
        "collection": collection.name,
        "as_of": day_words(now.astimezone(collection.zone_info).date()),
        "headings": [_told(one) for one in sheet.headings],
        "signs": [list(pair) for pair in sheet.signs],
    }
    return typeset("lined", data, title=f"{sheet.name}: {sheet.title}", made_at=now)


def _told(one: Heading) -> dict[str, object]:
    rows = [[item.what, item.more, item.aside] for item in one.items]
    return {"title": one.title, "note": one.note, "none": one.none, "rows": rows}


def as_words(sheet: Lined) -> str:
    """The sheet as plain text, for a letter."""
    parts = ["\n".join((sheet.title, *sheet.lead))]
    parts += [_as_words(one) for one in sheet.headings]
    return "\n\n".join(parts) + "\n"


def _as_words(one: Heading) -> str:
    lines: Sequence[str] = [
        "- " + "; ".join(part for part in (item.what, item.more, item.aside) if part)
        for item in one.items
    ]
    return "\n".join([one.title, *(lines or [f"- {one.none}"])])

"""Writing sheets: a new one, or one like another."""

from collections.abc import Iterable

from collection.bench.said import facts_said
from collection.core.events.set_up import SetUp
from collection.core.events.settings_noted import SettingsNoted
from collection.core.sheet_layout import SET_UP
from collection.ledger.actions import open_book
from collection.ledger.errors import LedgerError
from collection.ledger.models import Event
from collection.ledger.telling import Telling
from registry import clock
from registry.access.models import Collection, Membership


def note_sheet(
    *,
    collection: Collection,
    by: Membership,
    code: str,
    sheet: str,
    pairs: Iterable[tuple[str, str]],
    show: str = "",
    like: int | None = None,
    telling: Telling | None = None,
) -> Event:
    """Set down how a piece stands: `sheet` is settings_noted or set_up, lines left blank go."""
    said = tuple((name.strip(), words.strip()) for name, words in pairs if words.strip())
    kind = SetUp if sheet == SET_UP else SettingsNoted
    with open_book(collection, by) as book:
        return book.append(kind(said, show=show, like=like), code, telling or _now(collection))


def copy_sheet(
    *,
    collection: Collection,
    by: Membership,
    code: str,
    like: Event,
    show: str = "",
    telling: Telling | None = None,
) -> Event:
    """Tonight is like that night: the same words again, naming the entry they come from."""
    facts = facts_said(like)
    if not isinstance(facts, SetUp | SettingsNoted):
        raise LedgerError(f"Entry {like.sequence} is no sheet; it says {like.kind}.")
    return note_sheet(
        collection=collection,
        by=by,
        code=code,
        sheet=like.kind,
        pairs=facts.pairs,
        show=show,
        like=like.sequence,
        telling=telling,
    )


def _now(collection: Collection) -> Telling:
    return Telling(happened=clock.today(collection.zone_info).isoformat())

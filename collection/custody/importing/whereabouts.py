"""What kind of place an inventory means by a few words, and how such a place is called here."""

import re
from collections import defaultdict
from collections.abc import Iterable

from collection.catalogue.spreadsheet.cells import folded_words
from collection.catalogue.spreadsheet.plan import PlannedPiece
from collection.custody.models import Place
from collection.ledger.codes import well_formed

Kind = Place.Kind
# Common practice, no source: the first word that is found decides.
KINDS = (
    (Kind.CASE, r"(flight ?|road ?)?case|trunk|koffer|kiste|flightkoffer"),
    # 'On tour' is wherever the tour is at that moment, as a truck is.
    (Kind.TRUCK, r"truck|lorry|van|trailer|lkw|camion|vrachtwagen|lastebil|(on )?tour|on the road"),
    (Kind.WORKSHOP, r"(at )?(the )?(repair(er|s)?|shop|workshop|luthier|service)|(at|in) repair"
     r"|werkstatt|atelier"),
    (Kind.SITE, r"warehouse|store|storage|depot|lager|entrepôt|magazijn|lock-?up|unit"),
    (Kind.HOUSE, r"house|home|flat|apartment|haus|zuhause|maison|huis|hjemme|cellar|music room"
     r"|living room|attic|garage"),
    (Kind.SHELF, r"shelf|rack|regal|étagère|drawer"),
    (Kind.ROOM, r"room|office|cage|raum|studio"),
)  # fmt: skip
CALLED_BY_NUMBER = {Kind.CASE: "CASE", Kind.TRUCK: "TRUCK"}
NUMBERED = re.compile(r"(?:flight ?|road ?)?(?:case|truck)\W*(?:no\W*)?(\d{1,4}|[A-Z])", re.I)
ONLY_PERSON = "With {}"
NAME_LENGTH = 80


def kind_of(name: str) -> str:
    """The kind that the words of a place suggest; a site when nothing does."""
    words = name.casefold()
    found = (kind for kind, said in KINDS if re.search(rf"\b(?:{said})\b", words))
    return next(found, Kind.SITE)


def is_private(name: str) -> bool:
    """Where somebody lives is for those who may know it."""
    return kind_of(name) == Kind.HOUSE


def code_of(name: str) -> str:
    """'CASE-07' for case 7, 'TRUCK-A' for truck a; '' when a place is called otherwise."""
    prefix = CALLED_BY_NUMBER.get(Kind(kind_of(name)))
    found = NUMBERED.fullmatch(name.strip())
    if not prefix or not found:
        return ""
    number = found[1].upper()
    code = f"{prefix}-{number.zfill(2) if number.isdigit() else number}"
    return code if well_formed(code) else ""


def key_of(name: str) -> str:
    """Words for matching: case, commas, spacing and noughts before a number do not count."""
    return re.sub(r"\b0+(?=\d)", "", folded_words(name))


def spelling(names: Iterable[str]) -> str:
    """The spelling to keep of several: capitals like a name's, then the first written."""
    tidy = [" ".join(name.split()) for name in names]
    best = max(tidy, key=lambda name: (not name.isupper(), sum(map(str.isupper, name))))
    return best[:1].upper() + best[1:]


def place_words(row: PlannedPiece) -> str:
    """Where a row says the piece is; with somebody, when it says nothing but who has it."""
    return row.place or (ONLY_PERSON.format(row.holder)[:NAME_LENGTH] if row.holder else "")


def place_spellings(rows: Iterable[PlannedPiece]) -> dict[str, str]:
    """Every place that rows name, by key, in its best spelling."""
    written: dict[str, list[str]] = defaultdict(list)
    for row in rows:
        if words := place_words(row):
            written[key_of(words)].append(words)
    return {key: spelling(names) for key, names in written.items()}

"""What somebody wrote when asked whether a piece works: told, never proof."""

import re
from dataclasses import dataclass

from collection.catalogue.spreadsheet.headings import fold

YES = frozenset(
    "yes y yep works working ok okay true x 1 playable functional operational"
    " ja j oui o vrai wahr funktioniert geht spielbar fonctionne marche werkt"
    " virker fungerer waar sann sand si".split()
)
NO = frozenset(
    "no n nope dead broken false 0 faulty bust nein non faux falsch nee nei nej defekt kaputt"
    " defect kapot odelagt ikke panne hs inoperative broke inop".split()
)
EASING = frozenset(
    "fully well great good fine gut goed bien all in and is it very perfectly still"
    " now again 100 e en de order"
    " ne pas plus fonctionne marche geht nicht werkt niet virker fungerer ikke does not doesnt"
    " work working".split()
)
LONGEST = 200  # characters; more is a story, not an answer
NEGATIVE = frozenset("not nicht pas niet ikke doesnt no".split())
WHEN = re.compile(
    r"[\s,(]*\b(?:in |as of |on |since )?("
    r"\d{4}-\d\d(?:-\d\d)?|\d{1,2}[./]\d{1,2}[./]\d{2,4}"
    r"|[^\W\d]{3,9}\.? (?:'?\d{2}|\d{4})|(?:19|20)\d\d)\s*\)?\s*$",
    re.IGNORECASE,
)


@dataclass(frozen=True)
class Told:
    """`says` is 'works', 'does not work' or 'unclear'; `on` is EDTF text or ''."""

    says: str
    words: str
    on: str = ""


def split_date(text: str) -> tuple[str, str]:
    """('ok', 'Aug 25') from 'ok Aug 25'; the second is '' without a date at the end."""
    found = WHEN.search(text)
    return (text[: found.start()], found.group(1)) if found else (text, "")


def read_told(text: str) -> Told | None:
    """The statement in a cell, without its date; None when the cell says nothing.

    Only plain words decide. 'Needs caps' or 'yes but crackles' stay unclear with their words kept:
    a guess either way would be worse than none.
    """
    said = " ".join(text.split())
    if len(said) > LONGEST:
        return Told("unclear", said)
    if not said or said in ("-", "–", "—", "?", "n/a"):
        return None
    words = fold(split_date(said)[0].replace("'", "").replace("’", "")).split()
    return Told(_verdict(words), said)


def _verdict(words: list[str]) -> str:
    if not words or len(words) > 5:
        return "unclear"
    known = YES | NO | EASING
    if not all(word in known for word in words):
        return "unclear"
    if (NEGATIVE | NO) & set(words):
        return "does not work"
    return "works" if any(word in YES for word in words) else "unclear"

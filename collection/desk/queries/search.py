"""Looking for a piece by what somebody says: a code, a nickname, a number half read."""

import re
from dataclasses import dataclass
from datetime import date

from django.db.models import Q

from collection.catalogue import queries as catalogue
from collection.core.serial import SerialMatch
from collection.core.serial import search as near
from collection.core.serial_report import Character, characters, number_in
from collection.desk.queries.pieces import PieceLine, lines, listed, matching
from collection.desk.queries.whereabouts import Places
from collection.ledger.models import Subject
from registry.access.models import Membership

MOST = 50
SPOKEN_CODE = re.compile(r"([A-Za-z]{1,3})[ -]?([0-9]{1,4})")
MOST_NEAR = 20


@dataclass(frozen=True)
class Near:
    """A piece whose serial, or owner's mark, may be the number that was asked for."""

    line: PieceLine
    match: SerialMatch
    on: str = "serial"

    @property
    def report(self) -> tuple[Character, ...]:
        """The number as reported, with what differs marked."""
        return characters(self.match)

    @property
    def next(self) -> tuple[str, ...]:
        """What to compare before anybody says that it is ours."""
        return tuple(str(mark) for mark in self.line.piece.marks[:2])


@dataclass(frozen=True)
class Found:
    """What a text may mean: `is_code` a piece's own code, else pieces, and serials near it."""

    is_code: str = ""
    lines: tuple[PieceLine, ...] = ()
    near: tuple[Near, ...] = ()
    cut_off: bool = False


def find(text: str, member: Membership, *, places: Places, today: date) -> Found:
    """Pieces that a text may mean; a fixed number of queries."""
    if not text:
        return Found()
    if code := _code_said(text, member):
        return Found(is_code=code)
    rows = list(listed(member.collection).filter(matching(text)).order_by("code")[: MOST + 1])
    matches, marks = _matches(text, member), _marks(text, member)
    near_it = Q(serial__in=matches) | Q(hidden_mark__in=marks)
    alike = list(listed(member.collection).filter(near_it).order_by("code"))
    said = lines({p.pk: p for p in [*rows[:MOST], *alike]}.values(),
                 member=member, places=places, today=today)  # fmt: skip
    by_pk = {line.piece.pk: line for line in said}
    candidates = [
        *(Near(by_pk[p.pk], matches[p.serial]) for p in alike if p.serial in matches),
        *(
            Near(by_pk[p.pk], marks[p.hidden_mark], "owner's mark")
            for p in alike
            if p.hidden_mark in marks
        ),
    ]
    return Found(
        lines=tuple(by_pk[piece.pk] for piece in rows[:MOST]),
        near=tuple(sorted(candidates, key=lambda one: one.match.distance)),
        cut_off=len(rows) > MOST,
    )


def _code_said(text: str, member: Membership) -> str:
    """The code of a piece however it is typed, such as 'a7' or 'A 007'; '' when none is so called.

    Codes that only look alike, A-7 beside A-007, are told apart by what was typed.
    """
    codes = Subject.objects.of(member.collection).filter(kind="piece")
    exact = codes.filter(code=text.upper()).values_list("code", flat=True).first()
    spoken = SPOKEN_CODE.fullmatch(text.strip())
    if exact or not spoken:
        return exact or ""
    letters, number = spoken[1].upper(), int(spoken[2])
    alike = codes.filter(code__regex=rf"^{letters}-0*{number}$").values_list("code", flat=True)[:2]
    return alike[0] if len(alike) == 1 else ""


def _matches(text: str, member: Membership) -> dict[str, SerialMatch]:
    return _near(text, catalogue.serials(member.collection))


def _marks(text: str, member: Membership) -> dict[str, SerialMatch]:
    """Owner's marks near the number; for those alone who may know them."""
    return _near(text, catalogue.hidden_marks(member.collection)) if member.records else {}


def _near(text: str, numbers: list[str]) -> dict[str, SerialMatch]:
    number = number_in(text)
    if not number:
        return {}
    return {match.serial: match for match in near(number, numbers)[:MOST_NEAR]}

"""Hours of parts equal a naive replay, whatever is fitted, played, pulled, corrected, contradicted.

The replay below knows nothing of the code it checks: it walks one list of what happened and keeps
two dictionaries.
"""

from dataclasses import dataclass, field, replace
from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import HealthCheck, Phase, example, given, settings
from hypothesis import strategies as st

from collection.catalogue.actions import add_circuit, add_piece
from collection.catalogue.models import Piece
from collection.core.events.played import Played
from collection.ledger.actions import correct, open_book, withdraw
from collection.ledger.models import Event
from collection.ledger.queries import questions_of
from collection.ledger.telling import Telling
from collection.stock import actions as stock
from collection.stock import queries
from collection.stock.lives import lives_of
from collection.stock.models import Part
from collection.stock.queries.log import log_of
from collection.stock.sockets import actions
from tests.builders import a_collection, a_member, a_person
from tests.stock.shelves import Desk

pytestmark = pytest.mark.django_db

BEGAN = datetime(2026, 1, 5, tzinfo=UTC)
PIECES, PLACES, PARTS = ("A-001", "A-002"), ("V1", "V2"), ("S-001", "S-002", "S-003")
BROUGHT = {"S-001": 0, "S-002": 40, "S-003": 7}
BROUGHT_HEATER = {"S-001": 0, "S-002": 40, "S-003": 11}  # S-002: nobody told, taken as HT


@dataclass
class Entry:
    """One thing that was told, as the replay sees it."""

    minute: int
    what: str
    event: Event
    part: str = ""
    piece: str = ""
    place: str = ""
    to: str = ""
    pieces: tuple[str, ...] = ()
    hours: int = 0
    heater: int = 0
    alive: bool = True


@dataclass
class Replay:
    """Everything told so far, and what follows when it is walked through."""

    told: list[Entry] = field(default_factory=list)

    def walk(self) -> tuple[dict, dict, dict, dict, dict]:
        """Where each part is, what each piece holds, what is dead, HT and heater hours."""
        where, holds, dead = {}, {piece: {} for piece in PIECES}, set()
        hours, heater = dict.fromkeys(PARTS, 0), dict.fromkeys(PARTS, 0)
        seen = set()
        order = sorted((e.minute, n) for n, e in enumerate(self.told) if e.alive)
        for entry in (self.told[n] for _, n in order):
            if entry.what == "in":
                if entry.part not in seen:
                    hours[entry.part] += BROUGHT[entry.part]
                    heater[entry.part] += BROUGHT_HEATER[entry.part]
                seen.add(entry.part)
                where[entry.part] = (entry.piece, entry.place)
                holds[entry.piece][entry.part] = entry.place
                dead.discard(entry.part)
            elif entry.what == "out":
                holds[entry.piece].pop(entry.part, None)
                if where.get(entry.part, (entry.piece,))[0] == entry.piece:
                    where.pop(entry.part, None)
                    dead.discard(entry.part)
                    if entry.to == "dead":
                        dead.add(entry.part)
            else:
                for part, (piece, _) in where.items():
                    if piece in entry.pieces:
                        hours[part] += entry.hours
                        heater[part] += entry.heater
        return where, holds, dead, hours, heater

    def against(self, what: str, part: str, piece: str, place: str, to: str) -> int:
        """How many contradictions there are in telling this now."""
        where, holds, dead, *_ = self.walk()
        if what == "out":
            return (part not in holds[piece]) + (to == "unknown")
        stays = where.get(part) == (piece, place) and holds[piece].get(part) == place
        taken = sum(other != part and at == place for other, at in holds[piece].items())
        return (part in where and not stays) + (part in dead) + taken


def _told(minute: int) -> Telling:
    return Telling(happened=(BEGAN + timedelta(minutes=minute)).isoformat())


def _stage() -> tuple[Desk, dict[str, Piece], dict[str, Part]]:
    desk = Desk(a_member(a_collection(), person=a_person(password=None)))
    chart = [{"name": place, "fits": ["12AX7"]} for place in PLACES]
    circuit = add_circuit(collection=desk.member.collection, name="BR", positions=chart)
    pieces = {code: add_piece(**desk.who, code=code, kind="amplifier", circuit=circuit)
              for code in PIECES}  # fmt: skip
    kind = stock.add_type(collection=desk.member.collection, code="12AX7")
    parts = {code: actions.add_part(**desk.who, type=kind, code=code, origin="bought",
                                    hours_before=BROUGHT[code], telling=Telling(),
                                    heater_before=11 if code == "S-003" else 0)
             for code in PARTS}  # fmt: skip
    return desk, pieces, {code: Part.objects.get(pk=part.pk) for code, part in parts.items()}


MINUTES = st.integers(0, 9)  # so few that entries often stand at one moment
STEPS = st.lists(
    st.one_of(
        st.tuples(st.just("in"), MINUTES, st.sampled_from(PARTS), st.sampled_from(PIECES),
                  st.sampled_from(PLACES), st.sampled_from(["done", "found"])),
        st.tuples(st.just("out"), MINUTES, st.sampled_from(PARTS), st.sampled_from(PIECES),
                  st.sampled_from(["pulled", "dead", "kept-out", "unknown"]), st.just("done")),
        st.tuples(st.just("play"), MINUTES, st.sets(st.sampled_from(PIECES), min_size=1),
                  st.integers(1, 9), st.integers(0, 5)),
        st.tuples(st.just("correct"), st.integers(0, 30), MINUTES, st.integers(1, 9),
                  st.integers(0, 5)),
        st.tuples(st.just("withdraw"), st.integers(0, 30)),
    ),
    min_size=3, max_size=14,
)  # fmt: skip


def _tell(desk: Desk, replay: Replay, pieces, parts, step) -> None:
    what, *rest = step
    if what == "in":
        minute, part, piece, place, how = rest
        expected = replay.against("in", part, piece, place, "")
        event = actions.fit(**desk.who, piece=pieces[piece], position=place, part=parts[part],
                            how=how, telling=_told(minute))  # fmt: skip
        replay.told.append(Entry(minute, "in", event, part, piece, place))
        assert len(questions_of(event)) == expected
    elif what == "out":
        minute, part, piece, to, how = rest
        expected = replay.against("out", part, piece, "", to)
        goes = actions.Goes(to, "show" if to == "pulled" else "")
        event = actions.take_out(**desk.who, piece=piece, part=parts[part], goes=goes, how=how,
                                 telling=_told(minute))  # fmt: skip
        replay.told.append(Entry(minute, "out", event, part, piece, to=to))
        assert len(questions_of(event)) == expected
    elif what == "play":
        minute, played, hours, warm = rest
        event = _play(desk, minute, tuple(sorted(played)), hours, hours + warm)
        replay.told.append(Entry(minute, "play", event, pieces=tuple(sorted(played)), hours=hours,
                                 heater=hours + warm))  # fmt: skip
    elif replay.told:
        _put_right(desk, replay, step)


def _play(desk: Desk, minute: int, played: tuple[str, ...], hours: int, heater: int) -> Event:
    with open_book(desk.member.collection, desk.member) as book:
        show = book.new_subject("show")
        facts = Played(pieces=played, ht_hours=str(hours), heater_hours=str(heater))
        return book.append(facts, show.code, _told(minute))


def _put_right(desk: Desk, replay: Replay, step) -> None:
    index = step[1] % len(replay.told)
    entry = replay.told[index]
    if not entry.alive:
        return
    if step[0] == "withdraw":
        withdraw(**desk.who, event=entry.event, because="it was not so")
        replay.told[index] = replace(entry, alive=False)
        return
    _, _, minute, hours, warm = step
    facts = dict(entry.event.facts)
    if entry.what == "play":
        facts |= {"ht_hours": str(hours), "heater_hours": str(hours + warm)}
    event = correct(**desk.who, event=entry.event, facts=facts, telling=_told(minute))
    replay.told[index] = replace(entry, event=event, minute=minute, hours=hours,
                                 heater=hours + warm)  # fmt: skip


# Not shrunk: each try fills a book, and shrinking a find takes minutes.
@settings(
    max_examples=12, deadline=None, suppress_health_check=[HealthCheck.too_slow],
    phases=[Phase.explicit, Phase.reuse, Phase.generate],
)  # fmt: skip
@given(STEPS)
@example([  # put right at the same moment, it still stands before the show
    ("in", 5, "S-001", "A-001", "V1", "done"),
    ("play", 5, {"A-001"}, 3, 1),
    ("correct", 0, 5, 1, 0),
])  # fmt: skip
def test_hours_equal_a_naive_replay_and_every_contradiction_is_a_question(steps):
    desk, pieces, parts = _stage()
    replay = Replay()
    for step in steps:
        _tell(desk, replay, pieces, parts, step)
    where, _, _, hours, heater = replay.walk()
    collection = desk.member.collection
    log = log_of(collection, PARTS)
    shelf = queries.shelf(collection)
    lives = {
        one.part: one for one in lives_of(shelf.parts, shelf.fittings, shelf.shows, clock="ht")
    }
    for code in PARTS:
        ran = log.ran(code, "ht")
        if ran is None:
            assert code not in where
            continue
        assert ran.hours == lives[code].hours
        here = (ran.fitted_in, ran.position) if ran.since is not None else None
        assert where.get(code) == here
        assert ran.hours == hours[code]
        assert log.ran(code, "heater").hours == heater[code]


def test_the_heater_clock_runs_apart_from_high_tension():
    """Two shows of 3 h HT and 6 h heater; 40 h were brought along on either clock."""
    desk, pieces, parts = _stage()
    actions.fit(**desk.who, piece=pieces["A-001"], position="V1", part=parts["S-002"],
                telling=_told(1))  # fmt: skip
    for minute in (2, 3):
        _play(desk, minute, ("A-001",), 3, 6)
    log = log_of(desk.member.collection, ["S-002"])
    assert (log.ran("S-002", "ht").hours, log.ran("S-002", "heater").hours) == (46, 52)

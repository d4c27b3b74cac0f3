"""An event program, written apart from the core, answers what a ledger asks: six settings.

Each setting is a book written through the actions; the question is read back from it as the page
reads it, and played by `tests/core/simpy_reference.py`, which shares nothing but the records.
"""

import math
from datetime import timedelta

import pytest

from collection.catalogue.actions import add_circuit, add_piece
from collection.core.depletion import deplete
from collection.core.life import Life
from collection.stock import actions, queries
from collection.stock.bookings import Booking
from collection.stock.forecast import Prospect
from registry import clock
from tests.core import simpy_reference
from tests.stock.shelves import PAIR, Desk, a_desk, a_show

pytestmark = pytest.mark.django_db
DIED = (35, 62, 80, 95, 110, 140)  # hours; with the pulls below they bear out a wearing life
PULLED = (60, 60, 58, 61, 60, 59)
COUNT, YEARS = 700, 6


def _book(desk: Desk, *, size: int, heads: int, units: int, **assumed: float) -> None:
    """Heads with one position or set each, a crate, deaths and pulls, a choice, a use."""
    fits = ["EL34"]
    places = {
        1: ({"name": "V4", "fits": fits},),
        2: PAIR,
        4: tuple({"name": f"V{n}", "fits": fits, "matched_with": "output"} for n in range(4, 8)),
    }[size]
    circuit = add_circuit(collection=desk.member.collection, name="HB", positions=places)
    for number in range(heads):
        add_piece(**desk.who, code=f"A-{number:03}", kind="amplifier", circuit=circuit)
    kind = actions.add_type(collection=desk.member.collection, code="EL34", set_size=size)
    lot = actions.add_lot(**desk.who, type=kind, in_sets=size > 1)
    actions.receive(**desk.who, lot=lot, units=units)
    where = {"piece": "A-000", "position": "output" if size > 1 else "V4"}
    for hours in (*DIED, *PULLED):
        part = actions.issue(**desk.who, lot=lot, units=1, **where)
        if hours in DIED:
            actions.die(**desk.who, part=part, hours=hours, how="hum")
        else:
            actions.pull(**desk.who, part=part, hours=hours, grade="bench")
    actions.choose_pull(**desk.who, type=kind, pull_hours=60, because="as before")
    actions.set_outlook(**desk.who, type=kind, **{"shows_per_year": 100, "hours_per_show": 1.5,
                                                  **assumed})  # fmt: skip


def _singles(desk: Desk) -> None:
    _book(desk, size=1, heads=3, units=30)


def _pairs_of_staggered_age(desk: Desk) -> None:
    _book(desk, size=2, heads=2, units=24)
    lot = queries.shelf(desk.member.collection).lots[0].lot
    for number, hours in enumerate((45, 15)):
        actions.issue(**desk.who, lot=lot, units=1, piece=f"A-{number:03}", position="output",
                      hours_before=hours)  # fmt: skip


def _quads_that_fail_their_test(desk: Desk) -> None:
    _book(desk, size=4, heads=2, units=36)
    lot = queries.shelf(desk.member.collection).lots[0].lot
    actions.test(**desk.who, lot=lot, units=10, passed={"show": 6}, failed=4)


def _half_of_the_shows(desk: Desk) -> None:
    _book(desk, size=1, heads=2, units=26)
    for number in range(6):
        on = ("A-000", "A-001") if number % 2 else ("A-000",)
        a_show(desk, f"W-{number}", days_ago=2 + number, pieces=on)


def _losses(desk: Desk) -> None:
    _book(desk, size=1, heads=2, units=34, shelf_loss_per_year=0.08,
          bulk_losses_per_year=0.3, bulk_loss_share=0.3)  # fmt: skip


def _level_unknown(desk: Desk) -> None:
    """Shows of a short log and nothing stated: the level itself is not known."""
    _book(desk, size=1, heads=2, units=26, shows_per_year=None)
    for number in range(90):
        a_show(desk, f"W-{number}", days_ago=2 + 3 * number, pieces=("A-000", "A-001"))


def _booked_first(desk: Desk) -> None:
    _book(desk, size=1, heads=2, units=26)


SETTINGS = {
    "singles": _singles,
    "pairs of staggered age": _pairs_of_staggered_age,
    "quads that fail their test": _quads_that_fail_their_test,
    "half of the shows": _half_of_the_shows,
    "losses on the shelf and in bulk": _losses,
    "level unknown": _level_unknown,
    "booked first": _booked_first,
}


def _says_what_it_is(name: str, asked) -> bool:
    """Whether the question read from the book is the setting that its name says."""
    return {
        "singles": asked.stock.set_size == 1,
        "pairs of staggered age": asked.sockets.hours_on == (45.0, 15.0),
        "quads that fail their test": asked.stock.set_size == 4 and asked.stock.passes_test < 1,
        "half of the shows": asked.sockets.share_of_use == (1.0, 0.5),
        "losses on the shelf and in bulk": asked.stock.loses,
        "level unknown": asked.usage.level_shape is not None,
        "booked first": len(asked.usage.booked_hours) > 2,
    }[name]


@pytest.mark.slow
@pytest.mark.parametrize("name", SETTINGS)
def test_an_event_program_agrees_with_what_the_page_reckons(name):
    desk = a_desk()
    SETTINGS[name](desk)
    today = clock.today(desk.member.collection.zone_info)
    days = tuple(today + timedelta(days=n) for n in (3, 5, 9, 40, 41, 44, 80, 81, 82, 83))
    booked = (Booking("T-1", "Leg", days),) if name == "booked first" else ()
    shelf = queries.shelf(desk.member.collection)
    asked = Prospect(shelf.stock("EL34"), today=today, bookings=booked).ask()
    assert isinstance(asked.law.life, Life)
    assert _says_what_it_is(name, asked)
    question = (asked.stock, asked.sockets, asked.law.life, asked.usage)
    theirs = simpy_reference.futures(*question, count=COUNT, years=YEARS, seed=11)
    ours = deplete(*question, futures=20_000, years=YEARS, seed=12)
    for p in (0.1, 0.5, 0.9):
        year = min(asked.figures.quantile(p) * 1.0031, YEARS - 0.01)
        chance = ours.chance_by(year)
        error = math.sqrt(max(chance * (1 - chance), 1e-3) / COUNT)
        assert simpy_reference.chance_by(theirs, year) == pytest.approx(chance, abs=3.5 * error)
        assert asked.figures.chance_by(year) == pytest.approx(chance, abs=0.03)

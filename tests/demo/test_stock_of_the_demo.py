"""The crates of the demo are conserved, and their lives are long enough to learn from."""

import json
from decimal import Decimal
from io import StringIO
from itertools import pairwise

import pytest
from django.core.management import call_command

from collection.core.bucket import UNEXPLAINED, total
from collection.core.state import from_json
from collection.ledger.models import Event, State
from fixtures.demo import schedule, stock, tubes

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize("lot", stock.LOTS)
def test_every_unit_received_is_somewhere(demo, lot):
    state = from_json(State.objects.get(subject__code=lot).detail)
    received = Event.objects.of(demo.collection).get(subject__code=lot, kind="received")
    assert total(state) == received.facts["units"]
    assert state.count(UNEXPLAINED) == 0
    assert all(units >= 0 for _, units in state.counts)


def test_only_two_deliveries_fall_short_of_their_note(demo):
    """Invented, scenario's pages: eight EL34 and four 12AX7 are not accounted for."""
    short = {
        e.subject.code: e.facts["delivery_note_units"] - e.facts["units"]
        for e in Event.objects.of(demo.collection).filter(kind="received")
    }
    assert {code: units for code, units in short.items() if units} == {"L-001": 8, "L-003": 4}


def test_what_is_fitted_is_what_the_tables_leave_in(demo):
    for lot in {row.lot for row in tubes.FITTED}:
        left_in = sum(row.units for row in tubes.FITTED if row.lot == lot and not row.out)
        assert from_json(State.objects.get(subject__code=lot).detail).count("fitted") == left_in


def test_nothing_is_fitted_twice_in_one_place():
    for row in tubes.FITTED:
        same = [r for r in tubes.FITTED if (r.piece, r.position) == (row.piece, row.position)]
        ends = sorted((r.on, r.out or "9") for r in same)
        assert all(out <= on for (_, out), (on, _) in pairwise(ends))


def test_pulls_are_as_old_as_the_shows_they_were_in(demo):
    """OS-10 sat in A-007 from 22 March 2025 to 12 January 2026: hours added up by hand."""
    pulled = Event.objects.of(demo.collection).get(kind="pulled", facts__part="OS-10")
    hours = [
        Decimal(show.ht_hours)
        for show in schedule.every()
        if "2025-03-22" <= show.on < "2026-01-12" and "A-007" in show.pieces
    ]
    assert Decimal(pulled.facts["hours"]) == sum(hours)
    assert 150 < sum(hours) < 250


@pytest.mark.parametrize("code", ["EL34", "EL84", "12AX7"])
def test_a_forecast_answers_for_the_types_that_wear(demo, code):
    out = StringIO()
    call_command("forecast", code, "--json", stdout=out)
    assert json.loads(out.getvalue())


def test_use_goes_back_more_than_two_years(demo):
    played = Event.objects.of(demo.collection).filter(kind="played").order_by("placed_us")
    assert played.filter(facts__session="").count() == 191
    assert played.exclude(facts__session="").count() == 2
    assert played.first().happened.startswith("2023-03-03")
    assert played.last().happened.startswith("2026-11-22")


def test_limits_stand_with_their_rating_system():
    """Philips/Mullard EL34 and EL84, Philips ECC83 sheets: 25 W, 12 W, 1 W, design-centre."""
    watts = {code: kind.get("plate_watts") for code, kind in stock.TYPES.items()}
    assert (watts["EL34"], watts["EL84"], watts["12AX7"]) == ("25", "12", "1.0")
    system = {stock.TYPES[code]["rating_system"] for code in ("EL34", "EL84", "12AX7")}
    assert system == {"design-centre"}

"""Three pieces of the demo contradict themselves, and the last good night can be set again."""

import pytest

from collection.bench.originality.queries import known_of
from collection.bench.sheets import queries as sheets
from collection.ledger.models import Event


@pytest.mark.parametrize(
    ("code", "said"),
    [
        ("G-011", "The invoice says built 1959: volume pot 913-114"),
        ("G-011", "Statements differ on the tuners"),
        ("A-007", "mains transformer 6512"),
        ("A-003", "Statements differ on the loudspeaker"),
    ],
)
def test_what_contradicts_is_said_and_asked_in_the_book(demo, code, said):
    """Scenario: the pot code contradicts the invoice, two people date the tuners differently."""
    known = known_of(demo.pieces[code], demo.members["ines"])
    assert [one for one in known.contradictions if one.startswith(said)]
    asked = Event.objects.of(demo.collection).filter(kind="asked", facts__about=code)
    assert len([one for one in asked if one.facts["question"].startswith(said)]) == 1


def test_the_linnet_has_a_window_and_not_a_year(demo):
    confirmed, likely = known_of(demo.pieces["G-011"], demo.members["ines"]).windows
    assert confirmed.not_before.isoformat() == "1961-03-26"
    assert likely.not_before > confirmed.not_before
    assert confirmed.not_after.isoformat() == "1966-07-31"


def test_the_steel_amp_is_set_as_on_sunday_and_its_twin_by_its_own_sheet(demo):
    found = sheets.set_it_like_this([demo.pieces["A-007"], demo.pieces["A-012"]])
    assert (found["A-007"].when, found["A-007"].good) == ("Sun 22 Nov 2026", True)
    both = sheets.beside(found["A-007"], found["A-012"])
    assert [line.name for line in both.found.lines if line.moved] == ["volume", "mains", "place"]

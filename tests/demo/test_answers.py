"""What the demo is for: it answers which backup can sound in time. Invented, scenario's pages."""

import json
from io import StringIO

import pytest
from django.core.management import call_command

pytestmark = pytest.mark.django_db


@pytest.fixture
def organ_amp(demo):
    """The answer for position 2, left before doors at seven."""
    out = StringIO()
    call_command("backup", "A-003", "--by", "2026-11-24T19:00", "--json", stdout=out)
    return json.loads(out.getvalue())


def test_the_hired_combo_that_somebody_confirmed_comes_first(organ_amp):
    ranked = [option["code"] for option in organ_amp["options"]]
    assert ranked[:2] == ["OUT-001", "A-018"]


@pytest.mark.parametrize(
    ("code", "reason"),
    [
        ("A-009", "DO NOT POWER"),
        ("A-012", "without backup"),
        ("A-005", "carnet"),
        ("A-015", "stripped"),
        ("A-021", "Bo Lindgren has it"),
        ("A-004", "crackle"),
    ],
)
def test_what_cannot_help_says_why(organ_amp, code, reason):
    shut = {one["code"]: " ".join(one["reasons"]) for one in organ_amp["ruled_out"]}
    assert reason in shut[code]

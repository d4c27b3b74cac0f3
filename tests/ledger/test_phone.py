"""What a phone claims about when something was written."""

from datetime import UTC, datetime, timedelta

import pytest

from collection.ledger.phone import claimed, late

NOW = datetime(2026, 11, 24, 21, 30, tzinfo=UTC)


def test_a_claim_is_taken_with_its_offset():
    assert claimed("2026-11-24T22:14:03+01:00", now=NOW) == NOW - timedelta(minutes=15, seconds=57)


@pytest.mark.parametrize(
    "said", ["", "soon", "2026-11-24T21:14:03", "2026-11-24T21:30:01Z", "2026-09-25T21:30:00Z"]
)
def test_no_zone_the_future_and_what_is_older_than_sixty_days_are_no_claim(said):
    assert claimed(said, now=NOW) is None


def test_what_waited_a_minute_or_less_happened_when_it_arrived():
    assert late(NOW - timedelta(seconds=60), now=NOW) == ""
    assert late(None, now=NOW) == ""
    assert late(NOW - timedelta(seconds=61), now=NOW) == "2026-11-24T21:28:59+00:00"

"""What `set_up` says."""

from collection.core.events.set_up import SetUp
from tests.core.book import after, proven, round_trip

GUITAR = SetUp((("relief", "0.20 mm"), ("action at the 12th", "2.0 / 1.6 mm")))


def test_a_set_up_is_no_proof_and_ends_none():
    assert after(GUITAR, proven()) == proven()
    assert after(SetUp((), show="S-1"), proven(), "show") == proven()


def test_it_says_what_was_measured():
    assert GUITAR.sentence() == "Set up: relief 0.20 mm, action at the 12th 2.0 / 1.6 mm."
    assert SetUp((), show="S-1").names() == {"show": "S-1"}


def test_its_facts_come_back_from_the_book():
    assert round_trip(GUITAR) == GUITAR
    assert GUITAR.pairs[0] == ("relief", "0.20 mm")

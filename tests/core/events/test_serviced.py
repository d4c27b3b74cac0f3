"""What `serviced` does to the book."""

from collection.core.events.serviced import Serviced
from collection.core.state import State
from tests.core.book import after, proven, round_trip


def test_a_service_keeps_the_last_day_of_each_kind_of_care():
    before = State(serviced=(("clean", "2026-10-01"), ("strings", "2026-11-20")))
    found = after(Serviced("strings", "10-46"), before)
    assert found.serviced == (("clean", "2026-10-01"), ("strings", "2026-11-24"))


def test_new_strings_end_no_evidence_and_an_unknown_day_dates_nothing():
    assert after(Serviced("strings"), proven()).unproven_since is None
    assert after(Serviced("strings"), day="").serviced == ()


def test_a_service_says_what_was_done():
    assert Serviced("strings", "10-46").sentence() == "Serviced: strings, 10-46."
    assert Serviced("strings").sentence() == "Serviced: strings."


def test_its_facts_come_back_from_the_book():
    facts = Serviced("strings", "10-46")
    assert round_trip(facts) == facts

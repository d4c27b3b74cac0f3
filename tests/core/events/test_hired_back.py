"""What `hired_back` does to the book."""

from collection.core.events.hired_back import HiredBack
from collection.core.state import State
from tests.core.book import after, proven, round_trip


def test_what_went_back_is_no_longer_ours_to_use():
    found = after(HiredBack("N-4", "P-24"), proven().now(owner="N-4", place="P-1"))
    assert (found.standing, found.holder, found.place) == ("given_back", "N-4", "P-24")
    assert found.unproven_because == "given back"
    assert found.owner == "N-4"


def test_what_is_stolen_stays_stolen_whoever_has_it():
    assert after(HiredBack("N-4"), State(standing="stolen")).standing == "stolen"


def test_where_its_owner_keeps_it_need_not_be_known():
    found = after(HiredBack("N-4"), State(place="P-1"))
    assert (found.place, found.seen) == (None, None)


def test_the_loan_is_over_with_its_last_piece():
    two = State(condition="out").shifted({"away": 2})
    one = after(HiredBack("N-4", loan="LN-1"), two, role="loan")
    assert (one.condition, one.count("away")) == ("out", 1)
    none = after(HiredBack("N-4", loan="LN-1"), one, role="loan")
    assert (none.condition, none.count("away")) == ("over", 0)
    assert after(HiredBack("N-4"), none, role="loan").count("away") == 0


def test_what_did_not_go_back_and_the_wrong_owner_are_contradictions():
    facts = HiredBack("N-4", loan="LN-1", went_with=(("footswitch", "missing"), ("lead", "came")))
    assert facts.problems({"subject": State(owner="N-5")}) == (
        "The book says N-5 owns it, yet it went back to N-4.",
        "Loan LN-1, came along and did not go back: footswitch.",
    )
    again = HiredBack("N-4").problems({"subject": State(standing="given_back")})
    assert again == ("The book says it is given back, yet it was given back to N-4.",)


def test_it_says_what_came_along():
    facts = HiredBack("N-4", "P-24", "LN-1", (("lead", "came"), ("cover", "missing")))
    assert facts.sentence() == (
        "Given back to N-4 at P-24, loan LN-1; lead is back, cover is missing."
    )


def test_its_facts_come_back_from_the_book():
    facts = HiredBack("N-4", "P-24", "LN-1", (("lead", "came"),))
    assert round_trip(facts) == facts

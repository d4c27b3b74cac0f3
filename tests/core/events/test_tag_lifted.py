"""What `tag_lifted` does to the book."""

from collection.core.events.tag_lifted import TagLifted
from collection.core.state import State, Tag
from tests.core.book import after, round_trip

TAGGED = State(tag=Tag("smoke", "bench check", "M-1", 4))


def test_the_tag_comes_off_and_nothing_is_proved_by_it():
    assert after(TagLifted("bench check", "P-6"), TAGGED) == State()
    assert after(TagLifted("bench check", "P-6"), TAGGED, "by_whom") == TAGGED


def test_a_failed_check_leaves_the_tag():
    assert after(TagLifted("bench check", result="failed"), TAGGED) == TAGGED


def test_lifting_is_a_plan_and_every_reason_against_it_is_told():
    assert not TagLifted.observed
    assert TagLifted("bench check").problems({"subject": TAGGED}) == ()
    assert TagLifted(" ", result="failed").problems({"subject": State()}) == (
        "No DO NOT POWER hangs on it.",
        "Name the check that lifts DO NOT POWER.",
        "The check failed; DO NOT POWER stays.",
    )


def test_lifting_says_which_check_by_whom():
    facts = TagLifted("bench check", "P-6")
    assert facts.sentence() == "DO NOT POWER lifted after bench check by P-6: passed."
    assert (facts.names(), TagLifted("bench check").names()) == ({"by_whom": "P-6"}, {})


def test_its_facts_come_back_from_the_book():
    facts = TagLifted("bench check", "P-6", "passed")
    assert round_trip(facts) == facts

"""What `described` does to the book."""

from collection.core.events.described import Described
from tests.core.book import after, proven, round_trip


def test_a_description_leaves_the_state_alone():
    assert after(Described((("maker", "Corrie"),), first=True), proven()) == proven()


def test_a_description_tells_its_fields_in_order():
    facts = Described((("maker", "Corrie"), ("finish", "")), first=True)
    assert facts.sentence() == "Entered in the register: maker Corrie; finish struck out."
    assert Described().sentence() == "Described."


def test_its_facts_come_back_from_the_book():
    facts = Described((("maker", "Corrie"), ("year", "1958~")), first=True)
    assert round_trip(facts) == facts


def test_a_long_description_is_told_in_short_and_kept_whole():
    said = (("kind", "amplifier"), ("maker", "Corrie"), ("year", "1958"), ("notes", "Hums."))
    facts = Described(said, first=True)
    assert facts.sentence() == (
        "Entered in the register: kind amplifier; maker Corrie; year 1958; and 1 more."
    )
    assert len(round_trip(facts).said) == 4
    assert Described((("notes", "Hums."),)).sentence() == "Described: notes Hums."

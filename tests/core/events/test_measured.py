"""What `measured` tells the book."""

from collection.core.events.measured import Measured, SocketRead
from collection.core.state import State, Tag
from tests.core.book import after, proven, round_trip

PAIR = tuple(
    SocketRead(position, "EL34", "OS-14", "460", "", ma).row()
    for position, ma in (("V4", "38"), ("V5", "37"))
)
FACTS = Measured("own", "probe", PAIR, mains_volts="231", minutes_warm=25, meter="2")
INSIDE = State(fitted=(("OS-14", "output"),))


def test_a_reading_changes_neither_the_piece_nor_its_parts():
    assert after(FACTS, proven()) == proven()
    assert after(FACTS, State(grade="show"), role="part-1") == State(grade="show")


def test_a_set_in_two_sockets_is_named_once():
    assert FACTS.names() == {"part-1": "OS-14"}


def test_a_reading_says_currents_volts_mains_and_how():
    assert FACTS.sentence() == (
        "Read at idle: V4 38 mA, V5 37 mA, plate 460 V, mains 231 V, 25 min warm, "
        "probe at the cathode, meter 2."
    )


def test_a_shared_resistor_says_its_volts_and_who_shares_it():
    row = SocketRead("V3", "EL84", "", "310", "10.4", "", "", "130").row()
    facts = Measured("cathode", "resistor", (row,), shared_by=2)
    assert "10.4 V across 130 Ω shared by 2, plate 310 V" in facts.sentence()


def test_a_reading_under_the_tag_or_of_a_part_that_is_elsewhere_becomes_a_question():
    assert FACTS.problems({"subject": INSIDE}) == ()
    tagged = INSIDE.now(tag=Tag("smoke", "bench check", "M-INES", 4), fitted=())
    assert FACTS.problems({"subject": tagged}) == (
        "It carries DO NOT POWER (smoke), yet it was powered to read it.",
        "The book does not have OS-14 in here.",
    )


def test_its_facts_come_back_from_the_book():
    assert round_trip(FACTS) == FACTS
    assert round_trip(FACTS).reads[1].ma == "37"

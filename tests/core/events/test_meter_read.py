"""What `meter_read` does to the book."""

from collection.core.events.meter_read import MeterRead
from collection.core.state import State
from tests.core.book import after, round_trip

READ = State(meters=(("heater", "412.5"),))


def test_the_last_reading_of_each_clock_is_kept():
    assert after(MeterRead("430"), READ).meters == (("heater", "430"),)
    assert after(MeterRead("20", "ht"), READ).meters == (("heater", "412.5"), ("ht", "20"))


def test_a_meter_that_goes_on_is_not_asked_about():
    assert MeterRead("430").problems({"subject": READ}) == ()
    assert MeterRead("3", "ht").problems({"subject": READ}) == ()


def test_a_meter_that_goes_back_is_recorded_and_asked():
    said = MeterRead("41").problems({"subject": READ})
    assert said == (
        "The meter said 412.5 h before and says 41 h now: it went back or was replaced.",
    )
    assert after(MeterRead("41"), READ).meters == (("heater", "41"),)


def test_a_replaced_meter_is_asked_what_the_old_one_said():
    (said,) = MeterRead("0", replaced=True).problems({"subject": READ})
    assert said.endswith("What did it say when it came out?")
    known = MeterRead("0", replaced=True, old_read="431")
    assert known.problems({"subject": READ}) == ()
    backwards = MeterRead("0", replaced=True, old_read="31")
    assert len(backwards.problems({"subject": READ})) == 1


def test_a_reading_that_is_no_number_is_asked():
    (said,) = MeterRead("four").problems({"subject": READ})
    assert "no number of hours" in said


def test_it_says_what_it_said():
    assert MeterRead("430").sentence() == "Heater meter read: 430 h."
    assert MeterRead("0", "ht", replaced=True, old_read="431").sentence() == (
        "HT meter replaced (the old one said 431 h); it starts at 0 h."
    )


def test_its_facts_come_back_from_the_book():
    facts = MeterRead("430", "ht", replaced=True, old_read="2")
    assert round_trip(facts) == facts

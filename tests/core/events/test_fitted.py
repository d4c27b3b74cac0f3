"""What `fitted` does to the book."""

from collection.core.events.fitted import Fitted
from collection.core.state import State
from tests.core.book import after, proven, round_trip

FACTS = Fitted("S-101", "motor", origin="donor", donor="E-005", hours_before="140")


def test_the_part_is_in_its_position_and_brings_its_hours():
    assert after(FACTS, role="part") == State(
        fitted_in="A-007", position="motor", hours_before="140"
    )


def test_the_piece_has_it_and_is_unproven_after_a_hand_was_in():
    found = after(FACTS, proven())
    assert found.fitted == (("S-101", "motor"),)
    assert (found.unproven_since, found.unproven_because) == ("2026-11-24", "part fitted")


def test_what_was_only_found_there_ends_no_evidence():
    found = after(Fitted("S-101", "V1", how="found"), proven())
    assert found.fitted == (("S-101", "V1"),)
    assert found.unproven_since is None


def test_the_donor_has_it_no_longer():
    donor = State(fitted=(("S-101", "motor"), ("S-102", "loop")))
    assert after(FACTS, donor, "donor").fitted == (("S-102", "loop"),)


def test_a_kept_out_part_is_in_use_again():
    assert after(FACTS, State(grade="kept-out"), "part").grade is None
    assert after(FACTS, State(grade="show"), "part").grade == "show"


def test_units_of_a_lot_go_from_their_bucket_to_fitted():
    facts = Fitted("OS-14", "output", lot="L-001", units=2, bucket="pulled:show")
    lot = State(counts=(("pulled:show", 2), ("sealed", 1)))
    assert after(facts, lot, "lot").counts == (("fitted", 2), ("sealed", 1))
    assert after(Fitted("OS-14", "output", lot="L-001"), lot, "lot") == lot


def test_a_part_in_two_places_or_a_dead_one_or_a_taken_position_is_asked():
    states = {"subject": State(), "part": State(fitted_in="A-002", position="V2")}
    said = Fitted("S-101", "V1").problems(states)
    assert said == ("The book has S-101 in A-002 V2, yet it is in V1 now.",)
    said = Fitted("S-101", "V1").problems({"subject": State(), "part": State(grade="dead")})
    assert said == ("The book has S-101 dead, yet it is in V1 now.",)
    taken = State(fitted=(("S-100", "V1"),))
    said = Fitted("S-101", "V1").problems({"subject": taken, "part": State()})
    assert said == ("The book has S-100 in V1, yet S-101 is there now.",)
    assert Fitted("S-101", "V2").problems({"subject": taken, "part": State()}) == ()


def test_a_part_that_stays_where_it_is_contradicts_nothing():
    here = State(fitted=(("S-101", "V1"),))
    part = State(fitted_in="A-007", position="V1")
    assert Fitted("S-101", "V1", how="found").problems({"subject": here, "part": part}) == ()


def test_it_says_what_went_where():
    assert FACTS.sentence() == "S-101 fitted in motor, out of E-005, it brought 140 h HT along."
    assert Fitted("S-9", "V1", how="found").sentence() == "S-9 found in V1."
    assert FACTS.names() == {"part": "S-101", "donor": "E-005"}


def test_its_facts_come_back_from_the_book():
    assert round_trip(FACTS) == FACTS


def test_a_part_that_left_another_piece_does_not_stay_although_it_was_here_before():
    here = State(fitted=(("S-101", "V1"),))
    part = State(fitted_in="A-012", position="V1")
    facts = Fitted("S-101", "V1", left="A-012")
    said = facts.problems({"subject": here, "part": part})
    assert said == ("The book has S-101 in A-012 V1, yet it is in V1 now.",)


def test_a_broken_set_and_the_piece_that_was_left_are_only_named():
    facts = Fitted("S-9", "V5", mate_of="OS-14", left="A-012")
    broken = State(grade="unknown")
    assert after(facts, broken, "set") == broken
    assert after(facts, here := State(fitted=(("S-9", "V1"),)), "left") == here

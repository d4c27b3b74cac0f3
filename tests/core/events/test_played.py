"""What `played` does to the book."""

from collection.core.events.played import Played
from collection.core.state import Proof, State, Tag
from tests.core.book import after, round_trip

FACTS = Played(("A-001", "A-002"), ("A-003",), "3.5", "2.2", ("F-012",))


def test_pieces_come_first_then_the_troubled_ones_then_faults():
    assert FACTS.names() == {
        "piece-1": "A-001",
        "piece-2": "A-002",
        "piece-3": "A-003",
        "fault-1": "F-012",
    }


def test_a_show_without_fault_proves_a_piece_played_hot():
    found = after(FACTS, State().unproved("2026-11-01", "repair", 4), "piece-2")
    assert found.proofs == (Proof("played-hot", "2026-11-24", 9, "show, 2.2 h HT"),)
    assert found.unproven_since is None


def test_a_troubled_piece_is_not_proved():
    assert after(FACTS, role="piece-3") == State()
    both = Played(("A-003",), ("A-003",))
    assert after(both, role="piece-1") == State()


def test_less_than_twenty_minutes_of_high_tension_is_powered_only():
    """20 minutes: common practice, no source; 0.33 h are 19.8 minutes."""

    def level(ht_hours: str) -> str:
        return after(Played(("A-001",), ht_hours=ht_hours), role="piece-1").proofs[0].level

    assert level("0.33") == "powered"
    assert level("0.34") == "played-hot"
    assert level("") == "played-hot"
    assert level("about two") == "played-hot"
    assert after(Played(("A-001",)), role="piece-1").proofs[0].what == "show"


def test_a_show_on_an_unknown_day_proves_nothing():
    assert after(FACTS, role="piece-1", day="") == State()


def test_a_settled_fault_counts_a_clean_show_and_an_open_one_does_not():
    settled = after(FACTS, State(condition="fixed", clean_shows=3), "fault-1")
    assert settled.clean_shows == 4
    assert after(FACTS, State(condition="open"), "fault-1").clean_shows == 0


def test_the_show_is_played():
    assert after(FACTS).condition == "played"


def test_playing_what_is_stolen_or_tagged_is_a_contradiction():
    states = {
        "subject": State(),
        "piece-1": State(standing="stolen"),
        "piece-2": State(tag=Tag("smoke", "bench check", "M-1", 4)),
        "piece-3": State(),
    }
    assert FACTS.problems(states) == (
        "The book says it is stolen, yet it was played (A-001).",
        "It carries DO NOT POWER (smoke), yet it was played (A-002).",
    )


def test_a_show_says_what_sounded_and_for_how_long():
    assert FACTS.sentence() == (
        "Played with A-001, A-002; trouble with A-003; 2.2 h HT, 3.5 h heaters."
    )
    assert Played().sentence() == "Played."


def test_its_facts_come_back_from_the_book():
    facts = FACTS
    assert round_trip(facts) == facts


def test_a_rehearsal_is_said_and_proves_what_sounded():
    facts = Played(("A-007",), ht_hours="1", session="rehearsal")
    assert facts.sentence() == "Rehearsed with A-007; 1 h HT."
    assert after(facts, role="piece-1").proofs[0].what == "rehearsal, 1 h HT"


def test_what_was_only_left_on_proves_nothing():
    facts = Played(("A-007",), heater_hours="9", session="left-on")
    assert facts.sentence() == "Left on with A-007, 9 h heaters."
    assert after(facts, role="piece-1") == State()


def test_a_rehearsal_is_no_clean_show_of_a_settled_fault():
    settled = State(condition="fixed", clean_shows=1)
    facts = Played(("A-007",), faults=("F-001",), session="rehearsal")
    assert after(facts, settled, "fault-1").clean_shows == 1

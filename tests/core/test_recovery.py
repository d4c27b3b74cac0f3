"""The gates between a piece that turned up and a piece that may be used."""

from collection.core.recovery import beside_the_serial, is_mislaid, missing, required
from collection.core.state import Gate, State


def test_a_theft_has_five_gates_and_mislaying_two():
    assert required(False) == ("police", "insurer", "identity", "condition", "notices")
    assert required(True) == ("identity", "condition")


def test_what_hangs_on_no_incident_was_mislaid():
    assert is_mislaid(State(standing="quarantined"))
    assert not is_mislaid(State(standing="quarantined", incident="I-1"))


def test_gates_are_missing_until_passed_and_only_in_quarantine():
    police = Gate("police", "not-apply", "never reported", "M-1", 3)
    waiting = State(standing="quarantined", incident="I-1", gates=(police,))
    assert missing(waiting) == ("insurer", "identity", "condition", "notices")
    assert missing(waiting.now(standing="held")) == ()


def test_the_serial_is_no_evidence_beside_itself_in_any_spelling():
    assert beside_the_serial(("Serial number", "serial", " ", "scar", "SCAR")) == ("scar",)

"""What `cleared` does to the book."""

from collection.core.events.cleared import Cleared
from collection.core.state import Gate, State
from tests.core.book import BY, after, round_trip

QUARANTINED = State(standing="quarantined", incident="I-1")
PAPER = "ab" * 32
TWO_KINDS = ("serial", "filled screw hole", "grain of the top")


def test_the_last_gate_and_no_earlier_one_gives_the_piece_back():
    state = QUARANTINED
    for gate in ("police", "insurer", "condition", "notices"):
        state = after(Cleared(gate, "answered"), state)
        assert state.standing == "quarantined"
    state = after(Cleared("identity", "answered", evidence=TWO_KINDS), state)
    assert state.standing == "held"
    assert state.incident == "I-1"
    assert [gate.name for gate in state.gates] == [
        "police",
        "insurer",
        "condition",
        "notices",
        "identity",
    ]


def test_a_gate_that_does_not_apply_counts_and_keeps_its_reason():
    found = after(Cleared("insurer", "not-apply", "no claim was paid"), QUARANTINED)
    assert found.gates == (Gate("insurer", "not-apply", "no claim was paid", BY, 9),)


def test_a_gate_answered_again_stands_once():
    first = after(Cleared("police", "answered"), QUARANTINED)
    again = after(Cleared("police", "not-apply", "never reported"), first, number=12)
    assert again.gates == (Gate("police", "not-apply", "never reported", BY, 12),)


def test_no_gate_is_passed_outside_quarantine():
    stolen = State(standing="stolen", incident="I-1")
    assert after(Cleared("police", "answered"), stolen) == stolen


def test_a_gate_is_a_plan_and_every_reason_against_it_is_told():
    assert not Cleared.observed
    assert Cleared("luck", "maybe").problems({"subject": State()}) == (
        "No gate is called luck; there are police, insurer, identity, condition, notices.",
        "A gate is answered or does not apply, not maybe.",
        "It is not in quarantine; there is no gate to pass.",
    )
    assert Cleared("police", "not-apply", " ").problems({"subject": QUARANTINED}) == (
        "Say why this gate does not apply.",
    )


def test_identity_rests_on_two_kinds_of_evidence_beside_the_serial():
    def said(*evidence: str) -> tuple[str, ...]:
        facts = Cleared("identity", "answered", evidence=evidence, papers=(PAPER,))
        return facts.problems({"subject": QUARANTINED})

    thin = ("Identity needs two kinds of evidence beside the serial.",)
    assert said() == thin
    assert said("serial", "grain") == thin
    assert said("grain", "Grain ") == thin
    assert said(*TWO_KINDS) == ()


def test_a_gate_says_its_answer_and_reason():
    facts = Cleared("insurer", "not-apply", "no claim was paid")
    assert facts.sentence() == "Gate insurer does not apply: no claim was paid."
    known = Cleared("identity", "answered", evidence=("grain", "scar"))
    assert known.sentence() == "Gate identity answered (grain, scar)."


def test_an_answered_gate_has_something_filed_with_it():
    bare = ("File the paper or photo that answers it, or say why it does not apply.",)
    assert Cleared("police", "answered").problems({"subject": QUARANTINED}) == bare
    filed = Cleared("police", "answered", papers=(PAPER,), rests_on=12)
    assert filed.problems({"subject": QUARANTINED}) == ()
    assert filed.sentence() == "Gate police answered; 1 paper filed."
    reason = Cleared("police", "not-apply", "it was never reported")
    assert reason.problems({"subject": QUARANTINED}) == ()


def test_a_gate_passed_before_papers_were_filed_still_reads():
    old = {"gate": "police", "answer": "answered", "because": "on paper", "evidence": []}
    found = Cleared.from_facts(old, version=1)
    assert (found.papers, found.rests_on) == ((), 0)
    assert after(found, QUARANTINED).gates[0].because == "on paper"


def test_its_facts_come_back_from_the_book():
    facts = Cleared("identity", "answered", "seen by two", TWO_KINDS, (PAPER,), 41)
    assert round_trip(facts) == facts

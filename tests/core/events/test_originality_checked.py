"""What `originality_checked` says."""

from collection.core.events.originality_checked import JUDGEMENTS, OriginalityChecked
from collection.core.state import State
from tests.core.book import after, proven, round_trip

POT = OriginalityChecked(
    "volume pot", "original", "304728", "304-7-28", evidence="solder undisturbed."
)


def test_a_judgement_changes_neither_standing_nor_proof():
    assert after(POT, proven()) == proven()
    assert POT.names() == {}
    assert POT.problems({"subject": State()}) == ()


def test_it_says_part_judgement_marking_reading_and_evidence():
    assert POT.sentence() == (
        "Originality of volume pot: original; marked 304728, read as 304-7-28; solder undisturbed."
    )
    tuners = OriginalityChecked("tuners", "replaced", made="1962/..")
    assert tuners.sentence() == "Originality of tuners: replaced; made from 1962 on."
    assert OriginalityChecked("nut", "likely").sentence() == (
        "Originality of nut: likely original."
    )


def test_a_date_that_cannot_be_read_is_said_as_it_stands():
    assert OriginalityChecked("nut", "unknown", made="late").sentence() == (
        "Originality of nut: not known; made late."
    )


def test_judgements_are_the_four_of_the_trade_page():
    assert set(JUDGEMENTS) == {"original", "likely", "unknown", "replaced"}


def test_its_facts_come_back_from_the_book():
    assert round_trip(POT) == POT

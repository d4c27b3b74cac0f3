"""What `redacted` says, and that it changes nothing."""

from collection.core.events.redacted import Redacted
from tests.core.book import after, proven, round_trip

WORDS = Redacted(what="words", entry=12, because="he asked us to.", person="N-018")
PHOTO = Redacted(what="photo", photo="ab12" * 16, because="a child is in it")


def test_taking_words_out_changes_no_state():
    assert after(WORDS, proven()) == proven()
    assert after(WORDS, proven(), role="person") == proven()


def test_it_says_what_went_and_why():
    assert WORDS.sentence() == "Words of entry 12 taken out: he asked us to."
    assert PHOTO.sentence() == "Photo with SHA-256 ab12ab12… taken out: a child is in it."
    person = Redacted(what="person", because="a request under the law")
    assert person.sentence().startswith("What was kept of this person or firm taken out")


def test_for_whom_it_was_done_is_named():
    assert WORDS.names() == {"person": "N-018"}
    assert PHOTO.names() == {}


def test_its_facts_come_back_from_the_book():
    assert round_trip(WORDS) == WORDS
    assert round_trip(PHOTO) == PHOTO

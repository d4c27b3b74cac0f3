"""What `documented` says."""

from collection.core.events.documented import Documented
from tests.core.book import after, proven, round_trip

INVOICE = Documented("invoice", "2016-03-12", "sold in Leith.", "1959")


def test_a_document_changes_no_state_and_names_nobody():
    assert after(INVOICE, proven()) == proven()
    assert INVOICE.names() == {}


def test_it_says_what_it_is_its_date_and_the_year_it_claims():
    assert INVOICE.sentence() == (
        "Document (invoice) of 12 March 2016: sold in Leith; it says built 1959."
    )


def test_a_photo_of_perhaps_another_piece_says_so():
    photo = Documented("photo", "1963~", piece_in_it=False)
    assert photo.sentence() == (
        "Document (photo) of about 1963; whether it is this piece is not sure."
    )


def test_its_facts_come_back_from_the_book():
    assert round_trip(INVOICE) == INVOICE

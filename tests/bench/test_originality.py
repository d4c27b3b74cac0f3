"""Judged parts and dated papers: the window, what contradicts, the page, the form."""

import re

import pytest

from collection.bench.originality import actions, queries
from collection.bench.originality.forms import readings_of
from collection.bench.originality.ladder import ladder_of
from collection.bench.originality.pages import settles_of
from collection.catalogue.actions import add_circuit, add_design, add_photo
from collection.ledger.actions import answer, correct, withdraw
from collection.ledger.models import Event
from collection.ledger.telling import Telling
from tests.bench.builders import a_piece
from tests.catalogue.photo_samples import drawn, saved

pytestmark = pytest.mark.django_db
POT = {"position": "volume pot", "judgement": "original", "marking": "999-114"}


@pytest.fixture
def linnet(technician):
    design = add_design(
        collection=technician.collection, maker=None, kind="instrument", name="Linnet",
        family="hollow-body guitar", produced="1958/1963",
    )  # fmt: skip
    return a_piece(technician, kind="instrument", code="G-011", design=design)


def judged(member, piece, telling=None, **said):
    return actions.check_originality(
        collection=piece.collection, by=member, code=piece.code, telling=telling, **said
    )


def paper(member, piece, **said):
    return actions.add_document(collection=piece.collection, by=member, code=piece.code, **said)


def told(who, **how):
    return Telling(happened="2024-11-20", source="told", source_note=who, **how)


def known(piece, member):
    return queries.known_of(piece, member)


def asked():
    return [event.facts["question"] for event in Event.objects.filter(kind="asked")]


def at(piece, rest=""):
    return f"/{piece.collection.slug}/bench/originality/{piece.code}/{rest}"


def test_the_newest_original_part_bounds_the_date_with_its_reason(technician, linnet):
    judged(technician, linnet, **POT)
    judged(technician, linnet, position="neck", judgement="likely", made="1962-05")
    confirmed, likely = known(linnet, technician).windows
    assert confirmed.not_before.year == 1961
    assert "volume pot" in confirmed.because
    assert (likely.not_before.year, likely.not_before.month) == (1962, 5)
    assert "neck" in likely.because


def test_a_tube_and_a_replaced_part_never_count(technician, linnet):
    judged(technician, linnet, position="V1", judgement="original", made="1962")
    judged(technician, linnet, position="nut", judgement="replaced", made="1970")
    confirmed, likely = known(linnet, technician).windows
    assert confirmed.not_before is None
    assert likely.not_before is None


def test_a_photo_bounds_from_the_other_side_and_only_if_it_is_this_piece(technician, linnet):
    paper(technician, linnet, what="photo", dated="1963-06", piece_in_it=False)
    assert known(linnet, technician).windows[0].not_after is None
    paper(technician, linnet, what="stage", dated="1964-02-01", shows="on stage in Leith")
    assert known(linnet, technician).windows[0].not_after.isoformat() == "1964-02-01"


def test_a_pot_later_than_the_year_an_invoice_claims_opens_one_question(technician, linnet):
    paper(technician, linnet, what="invoice", dated="2016-03-12", says_built="1959")
    assert asked() == []
    judged(technician, linnet, **POT)
    (question,) = asked()
    assert question.startswith("The invoice says built 1959: volume pot 999-114")
    judged(technician, linnet, position="neck", judgement="likely", made="1962")
    assert len(asked()) == 1, "one more part against the same claim asks nothing new"


def test_a_contradiction_that_was_answered_is_not_asked_again_until_it_changes(technician, linnet):
    paper(technician, linnet, what="invoice", dated="2016-03-12", says_built="1959")
    judged(technician, linnet, **POT)
    question = Event.objects.get(kind="asked")
    answer(collection=linnet.collection, by=technician, asked=question,
           text="The invoice is wrong.", telling=Telling(happened="2026-11-24"))  # fmt: skip
    judged(technician, linnet, position="tuners", judgement="unknown")
    assert len(asked()) == 1
    judged(technician, linnet, position="neck", judgement="original", made="1964")
    assert len(asked()) == 2, "something new speaks against it"


def test_two_witnesses_who_differ_open_one_question_and_stand_side_by_side(
    technician, technician_client, linnet
):
    judged(technician, linnet, told("Jonah Rae", certainty="likely"), position="tuners",
           judgement="original", made="1959")  # fmt: skip
    assert asked() == []
    by_form = {"position": "TUNERS", "judgement": "replaced", "made": "from 1962 on", "how": "told",
               "who": "the seller", "certainty": "doubtful"}  # fmt: skip
    technician_client.post(at(linnet, "check/"), by_form)
    tuners = next(one for one in known(linnet, technician).positions if one.name == "tuners")
    assert [one.who for one in tuners.said] == ["Jonah Rae", "the seller"]
    (question,) = asked()
    assert question.startswith("Statements differ on the tuners: ")
    page = technician_client.get(at(linnet)).content.decode()
    assert page.index("Jonah Rae") < page.index("another says otherwise")
    assert "another statement differs" in page


def test_a_corrected_statement_counts_as_corrected_and_a_withdrawn_one_not_at_all(
    technician, linnet
):
    event = judged(technician, linnet, **POT)
    facts = {**event.facts, "judgement": "replaced"}
    said = Telling(happened="2024-11-20")
    newer = correct(collection=linnet.collection, by=technician, event=event, facts=facts,
                    telling=said)  # fmt: skip
    assert [one.judgement for one in known(linnet, technician).said] == ["replaced"]
    withdraw(collection=linnet.collection, by=technician, event=newer, because="other guitar")
    assert known(linnet, technician).said == []


def test_the_marking_is_read_live_with_every_split(technician_client, linnet):
    answer = technician_client.get(at(linnet, "reading/"), {"marking": "304728"})
    page = answer.content.decode()
    assert [one.split for one in readings_of("304728")] == ["304-7-28", "30-47-28"]
    assert 'value="304-7-28"' in page
    assert 'value="30-47-28"' in page
    assert "in the years of its design: 1957" in page
    assert "<html" not in page
    none = technician_client.get(at(linnet, "reading/"), {"marking": "30?7"}).content.decode()
    assert "No source-date code in this" in none


def test_a_marking_of_a_tube_is_read_as_one_and_bounds_nothing(technician_client, linnet):
    page = technician_client.get(at(linnet, "reading/"), {"marking": "B8L2"}).content.decode()
    assert "On a tube of the Philips group: December 1968 or 1978, week 2." in page
    assert "never the piece" in page
    other = technician_client.get(at(linnet, "reading/"), {"marking": "304728"}).content.decode()
    assert "Philips" not in other


def test_without_script_the_marking_is_read_by_a_press_that_saves_nothing(
    technician_client, linnet
):
    typed = {"position": "volume pot", "judgement": "original", "marking": "999114", "read": "yes",
             "evidence": "solder undisturbed"}  # fmt: skip
    page = technician_client.post(at(linnet, "check/"), typed).content.decode()
    assert 'value="999-1-14"' in page
    assert 'value="solder undisturbed"' in page
    assert not Event.objects.filter(kind="originality_checked").exists()


def test_a_judgement_is_saved_with_its_reading_and_photo(technician, technician_client, linnet):
    typed = {"position": "volume pot", "judgement": "original", "marking": "999114",
             "reading": "999-1-14", "made": "", "evidence": "solder undisturbed"}  # fmt: skip
    answer = technician_client.post(at(linnet, "check/"), typed)
    assert answer.status_code == 302
    event = Event.objects.get(kind="originality_checked")
    assert event.facts["reading"] == "999-1-14"
    add_photo(collection=linnet.collection, by=technician, subject=linnet.subject,
              entry=event.sequence, data=saved(drawn(), "PNG"))  # fmt: skip
    assert known(linnet, technician).said[0].has_photo
    assert "photo 1" in technician_client.get(at(linnet)).content.decode()


def test_a_date_that_cannot_be_read_is_sent_back_beside_its_field(technician_client, linnet):
    typed = {"what": "invoice", "dated": "the day after", "shows": "a receipt"}
    answer = technician_client.post(at(linnet, "document/"), typed)
    assert answer.status_code == 422
    assert "cannot be read" in answer.content.decode()
    assert 'value="a receipt"' in answer.content.decode()


def test_a_document_stands_at_its_own_date_in_the_book(technician_client, linnet):
    typed = {"what": "invoice", "dated": "12 March 2016", "says_built": "1959", "piece_in_it": "on"}
    assert technician_client.post(at(linnet, "document/"), typed).status_code == 302
    event = Event.objects.get(kind="documented")
    assert (event.happened, event.source) == ("2016-03-12", "document")
    assert event.facts["says_built"] == "1959"


def test_the_ladder_draws_every_dated_thing_and_says_what_is_wrong(technician, linnet):
    assert ladder_of(known(linnet, technician)) is None
    judged(technician, linnet, **POT)
    paper(technician, linnet, what="invoice", dated="2016-03-12", says_built="1959")
    found = ladder_of(known(linnet, technician))
    assert [rung.look for rung in found.rungs] == ["original", "document", "claim"]
    assert found.rungs[2].wrong == "does not fit the window"
    assert (found.first, found.last) == (1957, 1964)
    assert found.bounds[0].words.startswith("not before")


def test_words_of_the_bounds_wrap_as_text_of_the_page(technician, technician_client, linnet):
    judged(technician, linnet, **POT)
    page = technician_client.get(at(linnet)).content.decode()
    figure = page.partition('<figure class="ladder">')[2].partition("</figure>")[0]
    assert re.search(r"<p><b>Not before \d+ \w{3} \d{4}</b></p>", figure)
    # In the drawing itself stand nothing but years: longer texts would leave it on a phone.
    drawn = re.findall(r"<text[^>]*>([^<]*)</text>", figure)
    assert drawn
    assert all(words.isdecimal() for words in drawn)


def test_the_survey_lists_the_parts_of_the_family_and_of_the_chart(technician, technician_client):
    circuit = add_circuit(
        collection=technician.collection, name="BR-12/C",
        positions=[{"name": "V1", "fits": ["12AX7"]}],
    )  # fmt: skip
    amp = a_piece(technician, circuit=circuit)
    page = technician_client.get(at(amp)).content.decode()
    assert page.index("Output transformer") < page.index("never counts for the date")
    assert "Not judged yet" in page


def test_the_page_of_the_piece_says_what_settles_its_year(technician, technician_client, linnet):
    assert not settles_of(linnet, technician).any
    judged(technician, linnet, **POT, evidence="solder undisturbed")
    page = technician_client.get(
        f"/{linnet.collection.slug}/pieces/{linnet.code}/"
    ).content.decode()
    assert "Settles the year" in page
    assert "solder undisturbed" in page
    assert "999-114" in page


def test_who_only_reads_sees_the_ladder_and_judges_nothing(technician, viewer_client, linnet):
    judged(technician, linnet, **POT)
    page = viewer_client.get(at(linnet))
    assert page.status_code == 200
    assert "Judge it" not in page.content.decode()
    for rest in ("check/", "document/", "reading/"):
        assert viewer_client.get(at(linnet, rest)).status_code == 403
    assert viewer_client.post(at(linnet, "check/"), POT).status_code == 403
    assert Event.objects.filter(kind="originality_checked").count() == 1


def test_pieces_that_contradict_themselves_stand_first(technician, technician_client, linnet):
    fine = a_piece(technician, code="A-001")
    judged(technician, fine, position="chassis", judgement="original", made="1960")
    judged(technician, linnet, **POT)
    paper(technician, linnet, what="invoice", dated="2016-03-12", says_built="1959")
    page = technician_client.get(f"/{linnet.collection.slug}/bench/originality/").content.decode()
    assert page.index("G-011") < page.index("A-001")


def test_pages_ask_as_often_for_much_that_is_said_as_for_little(
    technician, technician_client, linnet, django_assert_max_num_queries
):
    for number in range(8):
        judged(technician, linnet, position=f"screw {number}", judgement="original", made="1960")
        other = a_piece(technician)
        judged(technician, other, position="chassis", judgement="original", made="1960")
    with django_assert_max_num_queries(11):
        technician_client.get(at(linnet))
    with django_assert_max_num_queries(9):
        technician_client.get(f"/{linnet.collection.slug}/bench/originality/")


def test_a_press_sent_twice_is_written_once(technician, linnet):
    for _ in range(2):
        judged(technician, linnet, Telling(happened="2024-11-20", once="tap"), **POT)
    assert Event.objects.filter(kind="originality_checked").count() == 1

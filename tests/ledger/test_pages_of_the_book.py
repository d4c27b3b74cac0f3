"""The pages of the book: everything in order, one entry, corrections, questions, the check."""

import re
from dataclasses import fields
from typing import get_type_hints

import pytest
from django.db import connection

from collection.bench import actions as bench
from collection.core.events import KINDS
from collection.core.events.moved import Moved
from collection.core.events.sighted import Sighted
from collection.custody import actions as custody
from collection.ledger import actions, guard, proof
from collection.ledger.actions import open_book
from collection.ledger.correction import CHOICES, fact_fields
from collection.ledger.errors import LedgerError
from collection.ledger.models import Event, State
from collection.ledger.queries import PAGE, correction_line, life_line
from collection.ledger.telling import Telling
from tests.bench.builders import a_piece

pytestmark = pytest.mark.django_db


@pytest.fixture
def amp(technician):
    return a_piece(technician, code="A-007")


def noted(piece, member, words="a line", **telling):
    told = Telling(words=words, **({"happened": "2026-01-02"} | telling))
    return actions.note(collection=piece.collection, by=member, subject=piece.code, telling=told)


def at(collection, tail=""):
    return f"/{collection.slug}/book/{tail}"


def text(answer):
    return answer.content.decode()


def test_an_empty_book_says_so(technician_client, collection):
    assert "No entry yet" in text(technician_client.get(at(collection)))


def test_the_book_shows_everything_in_the_order_it_was_written(technician, technician_client, amp):
    noted(amp, technician, "said early", happened="2026-02-01")
    noted(amp, technician, "said late", happened="2020")
    page = text(technician_client.get(at(amp.collection)))
    assert page.index("said late") < page.index("said early")
    assert "Without a root kept elsewhere nothing is proved" in page
    assert proof.root_of(amp.collection)[1] in page


def test_the_book_is_paged_by_number_without_losing_an_entry(technician, technician_client, amp):
    for number in range(PAGE + 5):
        noted(amp, technician, f"line {number}")
    first = text(technician_client.get(at(amp.collection)))
    (below,) = re.findall(r"\?below=(\d+)", first)
    second = text(technician_client.get(at(amp.collection), {"below": below}))
    numbers = [int(n) for page in (first, second) for n in re.findall(r'id="entry-(\d+)"', page)]
    assert numbers == list(range(PAGE + 5, -1, -1))


def test_the_book_says_places_and_people_by_name(technician, technician_client, viewer_client, amp):
    who = {"collection": amp.collection, "by": technician}
    custody.add_place(**who, name="Bay two", kind="room", code="P-004")
    custody.add_place(**who, name="Cellar", kind="room", code="P-009", private=True)
    custody.add_party(**who, name="Ida Berg", code="C-001")
    custody.move(**who, code=amp.code, to="P-009")
    event = custody.move(**who, code=amp.code, to="P-004", holder="C-001")
    for tail in ("", f"{event.sequence}/", f"{event.sequence}/correct/"):
        page = text(technician_client.get(at(amp.collection, tail)))
        assert "Bay two (P-004)" in page
        assert "Ida Berg (C-001)" in page
    entry = text(technician_client.get(at(amp.collection, f"{event.sequence}/")))
    assert 'Bay two (P-004) <span class="small">place' in entry
    assert "Cellar (P-009)" in text(technician_client.get(at(amp.collection)))
    told = text(viewer_client.get(at(amp.collection), {"kind": "moved"}))
    assert "a private place" in told
    assert "Cellar" not in told


def test_a_question_of_the_book_is_asked_in_names(technician, technician_client, amp):
    custody.add_place(
        collection=amp.collection, by=technician, name="Bay two", kind="room", code="P-004"
    )
    actions.ask(collection=amp.collection, by=technician, question="Who has been in P-004?")
    assert "Who has been in Bay two (P-004)?" in text(
        technician_client.get(at(amp.collection, "questions/"))
    )


def test_the_book_asks_as_often_for_a_full_page_as_for_one_entry(
    technician, technician_client, amp, django_assert_max_num_queries
):
    for number in range(PAGE):
        noted(amp, technician, f"line {number}")
    with django_assert_max_num_queries(7):
        technician_client.get(at(amp.collection))


def test_the_book_is_narrowed_by_kind_and_by_what_an_entry_names(
    technician, technician_client, amp
):
    other = a_piece(technician, code="A-008")
    noted(amp, technician, "about seven")
    noted(other, technician, "about eight")
    by_kind = text(technician_client.get(at(amp.collection), {"kind": "noted"}))
    assert "about seven" in by_kind
    assert "about eight" in by_kind
    assert 'id="entry-0"' not in by_kind
    by_code = text(technician_client.get(at(amp.collection), {"subject": "a-008"}))
    assert "about eight" in by_code
    assert "about seven" not in by_code


def test_a_corrected_entry_is_struck_and_names_what_put_it_right(
    technician, technician_client, amp
):
    before = bench.repair(
        collection=amp.collection, by=technician, code=amp.code, what="transformer replaced"
    )
    page = technician_client.get(at(amp.collection, f"{before.sequence}/correct/"))
    assert 'value="transformer replaced"' in text(page)
    answer = technician_client.post(
        at(amp.collection, f"{before.sequence}/correct/"),
        {"fact_what": "transformer rewound", "when": "9 Jun 2019", "how": "document",
         "who": "bill 881", "certainty": "certain"},
    )  # fmt: skip
    assert answer.status_code == 302
    after = Event.objects.of(amp.collection).get(corrects=before.sequence)
    assert after.facts == before.facts | {"what": "transformer rewound"}
    assert (after.happened, after.source, after.source_note) == (
        "2019-06-09", "document", "bill 881",
    )  # fmt: skip
    book = text(technician_client.get(at(amp.collection)))
    assert "put-right" in book
    entry = text(technician_client.get(at(amp.collection, f"{before.sequence}/")))
    assert "<del>Repaired: transformer replaced.</del>" in entry
    assert f"entry {after.sequence}" in entry


def test_putting_papers_right_in_the_book_says_where_the_papers_themselves_are_changed(
    technician, technician_client, amp
):
    entered = Event.objects.of(amp.collection).get(kind="described")
    other = noted(amp, technician)
    way = f'<a href="/{amp.collection.slug}/pieces/{amp.code}/edit/">'
    for act in ("correct", "withdraw"):
        page = text(technician_client.get(at(amp.collection, f"{entered.sequence}/{act}/")))
        assert "those stay as they are: only the book changes here" in page
        assert way in page
        page = text(technician_client.get(at(amp.collection, f"{other.sequence}/{act}/")))
        assert way not in page


def test_an_entry_put_right_already_is_explained_and_not_corrected_again(
    technician, technician_client, amp
):
    first = noted(amp, technician, "first")
    telling = Telling(words="second", happened="2026-01-02")
    actions.correct(
        collection=amp.collection, by=technician, event=first, facts=first.facts, telling=telling
    )
    address = at(amp.collection, f"{first.sequence}/correct/")
    assert "Start from what stands now" in text(technician_client.get(address))
    answer = technician_client.post(address, {"fact_about": "", "words": "third"})
    assert answer.status_code == 422
    assert Event.objects.of(amp.collection).filter(kind="noted").count() == 2


def test_an_entry_is_withdrawn_with_a_reason_and_brought_back(technician, technician_client, amp):
    event = bench.tag_out(collection=amp.collection, by=technician, code=amp.code, reason="smoke")
    withdrawing = at(amp.collection, f"{event.sequence}/withdraw/")
    assert technician_client.post(withdrawing, {"because": ""}).status_code == 422
    assert technician_client.post(withdrawing, {"because": "wrong amp"}).status_code == 302
    assert State.objects.get(subject=amp.subject).tagged_out is False
    taken_back = Event.objects.of(amp.collection).get(kind="withdrawn")
    bringing = at(amp.collection, f"{taken_back.sequence}/correct/")
    assert "Bring it back" in text(technician_client.get(bringing))
    sent = {"fact_reason": "smoke after all", "fact_check": "bench check", "when": event.happened}
    assert technician_client.post(bringing, sent).status_code == 302
    assert State.objects.get(subject=amp.subject).tagged_out is True
    line = correction_line(event)
    assert [one.kind for one in line] == ["tagged_out", "withdrawn", "tagged_out"]
    assert proof.verify(amp.collection).fits


def test_an_entry_on_the_wrong_piece_is_withdrawn_and_written_anew_in_one_act(
    technician, technician_client, amp
):
    other = a_piece(technician, code="A-012")
    wrong = bench.tag_out(
        collection=amp.collection, by=technician, code=amp.code, reason="smoke",
        telling=Telling(happened="2026-03-01", source="told", source_note="stage left",
                        certainty="likely", words="it stank"),
    )  # fmt: skip
    address = at(amp.collection, f"{wrong.sequence}/another/")
    assert technician_client.post(address, {"code": "a-012"}).status_code == 302
    withdrawn, anew = Event.objects.of(amp.collection).order_by("sequence")[wrong.sequence + 1 :]
    assert withdrawn.act == anew.act
    assert (withdrawn.kind, withdrawn.corrects) == ("withdrawn", wrong.sequence)
    assert (anew.kind, anew.subject_id, anew.facts) == ("tagged_out", other.pk, wrong.facts)
    told = ("happened", "source", "source_note", "certainty", "words")
    assert [getattr(anew, name) for name in told] == [getattr(wrong, name) for name in told]
    states = State.objects.of(amp.collection)
    assert states.get(subject=amp.subject).tagged_out is False
    assert states.get(subject=other.subject).tagged_out is True
    assert proof.verify(amp.collection).fits


def test_what_belongs_to_a_piece_is_not_written_on_another(technician, amp):
    a_piece(technician, code="A-012")
    bench.fault(collection=amp.collection, by=technician, code=amp.code, symptom="hum")
    faulted = Event.objects.of(amp.collection).get(kind="faulted")
    how = {"collection": amp.collection, "by": technician}
    with pytest.raises(LedgerError, match="F-001, which belongs to A-007"):
        actions.rewrite_on(event=faulted, code="A-012", **how)
    with pytest.raises(LedgerError, match="is a fault, not a piece"):
        actions.rewrite_on(event=faulted, code="F-001", **how)
    with pytest.raises(LedgerError, match="about A-007 already"):
        actions.rewrite_on(event=faulted, code="A-007", **how)
    with pytest.raises(LedgerError, match="No such code"):
        actions.rewrite_on(event=faulted, code="A-999", **how)
    assert not Event.objects.of(amp.collection).filter(kind="withdrawn").exists()


VALUES = {
    str: "P-001",
    bool: True,
    bool | None: False,
    int: 3,
    int | None: 4,
    tuple[str, ...]: ["one", "two"],
    tuple[tuple[str, ...], ...]: [["V4", "", "38.0"], ["V5", "EL34", ""]],
    tuple[tuple[str, str], ...]: [["finish", "worn: at the edge"]],
    tuple[tuple[str, int], ...]: [["sealed", -2], ["V1", 3]],
    tuple[tuple[str, str, str], ...]: [["U-001", "38.0", ""], ["U-002", "", "11200"]],
    tuple[tuple[str, str, str, str], ...]: [["A", "1.2", "1600", ""], ["B", "", "", "noisy: hum"]],
}


def something(kind: str, name: str) -> object:
    """A value that a fact of this kind may have, as stored."""
    words = CHOICES.get((kind, name))
    return words[-1] if words else VALUES[get_type_hints(KINDS[kind])[name]]


@pytest.mark.parametrize("kind", sorted(KINDS))
def test_every_kind_comes_through_its_correction_form_unchanged(kind):
    facts = {field.name: something(kind, field.name) for field in fields(KINDS[kind])}
    shown = fact_fields(Event(kind=kind, facts=facts))
    assert {
        name: field.clean(field.prepare_value(facts[name])) for name, field in shown.items()
    } == facts


def test_a_list_of_counts_is_corrected_line_by_line():
    field = fact_fields(Event(kind="tested", facts={}))["passed"]
    assert field.prepare_value([["V1", 3], ["show", 10]]) == "V1: 3\nshow: 10"
    assert field.clean("V1: 4\n\nshow: 9") == [["V1", 4], ["show", 9]]
    with pytest.raises(Exception, match="is not written as name: number"):
        field.clean("V1: many")


def test_an_entry_shows_its_leaf_its_facts_in_words_and_what_it_names(
    technician, technician_client, amp
):
    event = bench.inspect(
        collection=amp.collection, by=technician, code=amp.code, level="played-hot", minutes=25
    )
    page = text(technician_client.get(at(amp.collection, f"{event.sequence}/")))
    assert event.leaf in page
    assert "<dt>Minutes</dt><dd>25</dd>" in page
    assert technician.name in page


def test_what_a_piece_is_worth_is_not_shown_to_a_viewer(keeper, viewer_client, keeper_client):
    from collection.core.events.valued import Valued

    piece = a_piece(keeper, code="A-900")
    with open_book(piece.collection, keeper) as book:
        event = book.append(Valued(value_minor=1234500, currency="EUR"), piece.code)
    address = at(piece.collection, f"{event.sequence}/")
    assert "1234500" in text(keeper_client.get(address))
    assert "1234500" not in text(viewer_client.get(address))


def test_a_number_the_book_does_not_have_is_not_found(technician_client, collection):
    for tail in ("77/", "77/correct/", "77/withdraw/", "77/another/"):
        assert technician_client.get(at(collection, tail)).status_code == 404


def test_a_viewer_reads_the_book_and_writes_nothing(viewer_client, technician, amp):
    event = noted(amp, technician)
    assert viewer_client.get(at(amp.collection, f"{event.sequence}/")).status_code == 200
    for act in ("correct", "withdraw", "another"):
        address = at(amp.collection, f"{event.sequence}/{act}/")
        assert viewer_client.post(address, {"because": "x"}).status_code == 403


def test_a_question_is_asked_and_answered(technician, technician_client, amp):
    asking = {"question": "Who wound the transformer?", "about": amp.code}
    answer = technician_client.post(at(amp.collection, "questions/ask/"), asking)
    assert answer.status_code == 302
    listed = text(technician_client.get(at(amp.collection, "questions/")))
    assert "Who wound the transformer?" in listed
    address = at(amp.collection, "questions/Q-001/")
    assert technician_client.post(address, {"text": ""}).status_code == 422
    assert technician_client.post(address, {"text": "the man in Utrecht"}).status_code == 302
    asked = Event.objects.of(amp.collection).get(kind="asked")
    assert Event.objects.of(amp.collection).get(kind="answered").answers == asked.sequence
    assert "No question is open" in text(technician_client.get(at(amp.collection, "questions/")))


def test_a_question_about_a_code_nobody_knows_comes_back(technician_client, collection):
    sent = {"question": "What?", "about": "A-404"}
    answer = technician_client.post(at(collection, "questions/ask/"), sent)
    assert answer.status_code == 422
    assert "No such code" in text(answer)


def test_the_check_says_that_everything_fits(technician, technician_client, amp):
    noted(amp, technician)
    assert "everything fits" not in text(technician_client.get(at(amp.collection, "check/")))
    assert "everything fits" in text(technician_client.post(at(amp.collection, "check/")))


def test_the_press_of_the_check_rests_and_says_so_while_it_works(technician_client, amp):
    here = at(amp.collection, "check/")
    form = text(technician_client.get(here)).partition(f'<form method="post" action="{here}"')[2]
    form = form.partition("</form>")[0]
    assert f'hx-post="{here}"' in form
    assert 'hx-disabled-elt="find button"' in form
    assert '<span class="at-work">Checking 1 entries' in form


def test_the_check_names_the_entry_that_was_changed_by_hand(technician, technician_client, amp):
    event = noted(amp, technician)
    noted(amp, technician)
    guard.lift(connection)
    with connection.cursor() as cursor:
        cursor.execute(
            "UPDATE collection_event SET recorded_by = 'nobody' WHERE id = %s", [event.pk]
        )
    guard.hang(connection)
    page = text(technician_client.post(at(amp.collection, "check/")))
    assert "the book does not fit" in page
    assert f"Entry {event.sequence}</a>" in page


@pytest.fixture
def places(collection, technician):
    with open_book(collection, technician) as book:
        return [book.new_subject("place", code).code for code in ("P-001", "P-002")]


def whereabouts(piece, member, facts, when):
    with open_book(piece.collection, member) as book:
        return book.append(facts, piece.code, Telling(happened=when))


def unclear(piece):
    lines = life_line(piece.subject)
    return {line.event.sequence for line in lines if line.order_unclear}


def test_two_moves_that_may_have_been_either_way_round_are_marked(technician, amp, places):
    vague = whereabouts(amp, technician, Moved(to="P-001"), "2026")
    exact = whereabouts(amp, technician, Moved(to="P-002"), "2026-03-01")
    assert unclear(amp) == {vague.sequence, exact.sequence}


def test_moves_in_a_known_order_or_to_the_same_place_are_not_marked(technician, amp, places):
    whereabouts(amp, technician, Moved(to="P-001"), "2025")
    whereabouts(amp, technician, Moved(to="P-002"), "2026-03-01")
    whereabouts(amp, technician, Sighted(at="P-002"), "2026")
    assert unclear(amp) == set()


def test_an_old_vague_move_beyond_the_page_still_marks_the_newest(technician, amp, places):
    whereabouts(amp, technician, Moved(to="P-001"), "2026")
    for number in range(6):
        noted(amp, technician, f"line {number}", happened="2026-03-02")
    exact = whereabouts(amp, technician, Moved(to="P-002"), "2026-03-03")
    lines = life_line(amp.subject, limit=3)
    assert [line.event.sequence for line in lines if line.order_unclear] == [exact.sequence]


def test_an_undated_entry_stays_undated_when_its_words_are_corrected(
    technician, technician_client, amp
):
    event = noted(amp, technician, "dated nowhere", happened="")
    address = at(amp.collection, f"{event.sequence}/correct/")
    sent = {"fact_about": "", "words": "put right", "when": ""}
    assert technician_client.post(address, sent).status_code == 302
    assert Event.objects.of(amp.collection).get(corrects=event.sequence).happened == ""


def test_a_correction_that_changes_nothing_is_not_written(technician, technician_client, amp):
    event = bench.repair(
        collection=amp.collection, by=technician, code=amp.code, what="new lamp",
        telling=Telling(happened="1985~", source="told", source_note="Jonah Rae"),
    )  # fmt: skip
    same = {"fact_what": "new lamp", "when": "about 1985", "how": "told", "who": "Jonah Rae",
            "certainty": "certain"}  # fmt: skip
    page = technician_client.post(at(amp.collection, f"{event.sequence}/correct/"), same)
    assert "Nothing here differs" in text(page)
    assert not Event.objects.filter(corrects=event.sequence).exists()
    technician_client.post(
        at(amp.collection, f"{event.sequence}/correct/"), same | {"when": "1986"}
    )
    assert Event.objects.get(corrects=event.sequence).happened == "1986"


def test_a_question_sent_twice_is_asked_once(collection, technician_client):
    page = technician_client.get(at(collection, "questions/ask/"))
    once = page.context["form"]["once"].value()
    assert len(once) >= 32
    for _ in range(2):
        sent = {"question": "Who re-covered it?", "once": once}
        technician_client.post(at(collection, "questions/ask/"), sent)
    assert Event.objects.of(collection).filter(kind="asked").count() == 1


def test_a_history_read_on_repeats_and_loses_nothing_of_one_moment(technician, amp):
    """All of them stand at the same midnight, so the moment alone does not part them."""
    told = [noted(amp, technician, f"line {number}").sequence for number in range(7)]
    seen, before = [], None
    for _ in range(4):
        lines = life_line(amp.subject, limit=3, before=before)
        seen += [line.event.sequence for line in lines if line.event.kind == "noted"]
        before = lines[-1].event.sequence if lines else before
    assert seen == sorted(told, reverse=True)

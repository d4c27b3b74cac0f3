"""Pages of a stocktake as a technician uses them, from the place to the second signature."""

import html
import re

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import connection
from django.test.utils import CaptureQueriesContext

from collection.catalogue.actions import add_piece
from collection.custody import actions as custody
from collection.custody.stocktake import actions, closing, queries, signing
from collection.custody.stocktake.models import Stocktake
from tests.builders import client_of
from tests.catalogue.photo_samples import drawn, saved


@pytest.fixture
def client(shelf):
    return client_of(shelf.by)


def at(shelf, path):
    return f"/{shelf.collection.slug}/{path}"


def text_of(answer, status=200):
    assert answer.status_code == status, answer.status_code
    return html.unescape(answer.content.decode())


def page(shelf, client, row):
    return text_of(client.get(at(shelf, f"places/stocktakes/{row.code}/")))


def act(shelf, client, row, what, **data):
    return text_of(
        client.post(at(shelf, f"places/stocktakes/{row.code}/{what}/"), data, follow=True)
    )


def test_a_count_begins_on_the_page_of_its_place(shelf, client):
    shelf.later()
    assert at(shelf, f"places/{shelf.bay.code}/count/") in text_of(
        client.get(at(shelf, f"places/{shelf.bay.code}/"))
    )
    answer = client.post(at(shelf, f"places/{shelf.bay.code}/count/"), follow=True)
    row = Stocktake.objects.of(shelf.collection).get()
    assert row.place == shelf.bay
    assert "Blind" in text_of(answer)


def test_beginning_twice_leads_to_the_one_that_runs(shelf, client):
    row = shelf.began()
    answer = client.post(at(shelf, f"places/{shelf.case.code}/count/"), follow=True)
    assert f"{row.code} already counts Bay 1" in text_of(answer)


def test_nothing_of_the_list_is_on_any_page_of_a_blind_count(shelf, client):
    row = shelf.began()
    actions.mark(stocktake=row, by=shelf.by, codes="A-007")
    for path in (
        f"places/stocktakes/{row.code}/", f"places/{shelf.bay.code}/",
        f"places/{shelf.case.code}/", f"places/{shelf.bay.code}/sheet/?list=yes",
        f"places/{shelf.bay.code}/count/", "places/stocktakes/",
    ):  # fmt: skip
        text = text_of(client.get(at(shelf, path)))
        for code in ("A-012", "G-003", "G-004"):
            assert code not in text, (path, code)
    assert "A-007" in page(shelf, client, row)


def test_the_list_cannot_be_had_by_asking_for_what_comes_later(shelf, client):
    row = shelf.began()
    for path in ("close", "sign/recount"):
        answer = client.post(at(shelf, f"places/stocktakes/{row.code}/{path}/"), follow=True)
        assert "A-012" not in text_of(answer)
    row.refresh_from_db()
    assert row.closed_at is None


def test_codes_are_counted_and_what_is_none_stays_in_the_field(shelf, client):
    row = shelf.began()
    text = act(shelf, client, row, "mark", codes="a7 x99", at="CASE-07")
    assert "Counted: A-007" in text
    assert "X99 is no code of this collection" in text
    assert re.search(r"<textarea[^>]*>\s*X99</textarea>", text)
    assert "unlabelled/?words=X99" in text
    assert row.marks.get().at == shelf.case


def test_the_place_inside_stays_chosen_for_the_next_code(shelf, client):
    row = shelf.began()
    text = act(shelf, client, row, "mark", codes="a7", at="CASE-07")
    assert '<option value="CASE-07" selected>' in text


def test_a_scanned_piece_offers_to_be_counted(shelf, client):
    row = shelf.began()
    text = text_of(client.get(at(shelf, "pieces/A-007/")))
    assert f"Count it: {row.code}, Bay 1" in text
    act(shelf, client, row, "mark", codes="A-007")
    assert f"Counted in {row.code}" in text_of(client.get(at(shelf, "pieces/A-007/")))
    case = text_of(client.get(at(shelf, "places/CASE-07/")))
    assert f"Count it: {row.code}, Bay 1" in case


def test_only_whoever_counts_is_offered_to_count_a_scanned_piece(shelf, client):
    row, other = shelf.began(), client_of(shelf.other)
    offer = f"Count it: {row.code}"
    assert offer not in text_of(other.get(at(shelf, "pieces/A-007/")))
    act(shelf, other, row, "mark", codes="A-012")
    assert offer in text_of(other.get(at(shelf, "pieces/A-007/")))


def test_a_viewer_is_offered_nothing_of_it(shelf, viewer_client):
    row = shelf.began()
    assert row.code not in text_of(viewer_client.get(at(shelf, "pieces/A-007/")))
    assert viewer_client.get(at(shelf, f"places/stocktakes/{row.code}/")).status_code == 403


def test_something_without_a_label_is_written_down_with_a_photo(shelf, client):
    row = shelf.began()
    photo = SimpleUploadedFile("a.png", saved(drawn(), "PNG"), "image/png")
    text = act(shelf, client, row, "unlabelled", words="Grey cabinet", photo=photo, once="a")
    assert "Grey cabinet" in text
    assert row.marks.get().photo is not None


def test_a_broken_photo_is_refused_beside_its_field_and_the_words_stay(shelf, client):
    row = shelf.began()
    photo = SimpleUploadedFile("a.png", b"no photo", "image/png")
    text = act(shelf, client, row, "unlabelled", words="Grey cabinet", photo=photo, once="a")
    assert "Grey cabinet" in text
    assert row.marks.count() == 0


def test_a_count_with_one_missing_and_one_too_many_from_end_to_end(shelf, client):
    row = shelf.began()
    act(shelf, client, row, "mark", codes="a7 g3 g4 case7 e1")
    text = act(shelf, client, row, "done")
    assert "Expected and not seen" in text
    assert "A-012" in text
    assert "Seen here, the book has it elsewhere" in text
    assert "E-001" in text
    text = act(shelf, client, row, "close", words="Quiet morning", once="x")
    assert "counted and closed by one person" in text
    assert "nobody signs their own count" in text
    shelf.later()
    other = client_of(shelf.other)
    row.refresh_from_db()
    codes = signing.draw_of(row)
    answers = dict.fromkeys(codes, "yes")
    short = dict(list(answers.items())[1:])
    assert f"Say of {codes[0]}" in act(shelf, other, row, "sign/recount", **short)
    text = act(shelf, other, row, "sign/recount", **answers, once="y")
    assert "closed and signed" in text


def test_what_is_added_after_the_list_was_seen_is_shown_as_late(shelf, client):
    row = shelf.began()
    act(shelf, client, row, "mark", codes="a7")
    act(shelf, client, row, "done")
    text = act(shelf, client, row, "mark", codes="a12")
    assert "Added late" in text
    assert "added late" in act(shelf, client, row, "close", once="x")


def test_what_moved_meanwhile_is_shown_with_what_the_book_was_told(shelf, client):
    row = shelf.began()
    custody.move(**shelf.given(), code="A-012", to=shelf.next_bay.code)
    act(shelf, client, row, "mark", codes="a7 g3 g4 case7")
    text = act(shelf, client, row, "done")
    assert "Moved meanwhile" in text
    assert "Moved to Warehouse, Bay 2" in text
    assert "Expected and not seen" not in text


def test_a_count_can_be_given_up_with_a_reason_only(shelf, client):
    row = shelf.began()
    assert "Say why" in act(shelf, client, row, "give-up", because="")
    assert "without a result" in act(shelf, client, row, "give-up", because="power cut")


def test_a_signature_due_or_overdue_stands_on_places_and_on_the_due_list(shelf, client):
    row = shelf.began()
    actions.mark(stocktake=row, by=shelf.by, codes="a7")
    closing.close(stocktake=actions.finish(stocktake=row, by=shelf.by), by=shelf.by)
    for path in ("places/", "due/", "places/stocktakes/"):
        assert f"Sign {row.code}, Bay 1" in text_of(client.get(at(shelf, path))), path
    shelf.later(days=31)
    for path in ("places/", "due/"):
        assert "overdue" in text_of(client.get(at(shelf, path)))


def test_the_blind_sheet_has_lines_and_places_and_nothing_expected(shelf, client):
    text = text_of(client.get(at(shelf, f"places/{shelf.bay.code}/sheet/")))
    assert "Case 07" in text
    assert "A-007" not in text
    assert text.count("<td>\xa0</td>") == 22


def test_the_sheet_with_the_list_has_a_code_for_each_that_opens_it(shelf, client):
    from collection.core.qr_code import qr_code

    text = text_of(client.get(at(shelf, f"places/{shelf.bay.code}/sheet/?list=yes")))
    base = f"http://testserver/{shelf.collection.slug}"
    for code in ("A-007", "A-012", "G-003", "G-004"):
        assert qr_code(f"{base}/pieces/{code}/").path in text
    assert qr_code(f"{base}/places/CASE-07/").path in text
    assert "E-001" not in text


def test_lots_are_counted_on_their_own_page(shelf, client):
    text = text_of(client.get(at(shelf, f"places/{shelf.bay.code}/count/")))
    assert at(shelf, "stock/") in text


def _queries(client, path):
    with CaptureQueriesContext(
        connection,
    ) as captured:
        client.get(path)
    return len(captured)


def test_the_pages_take_the_same_queries_however_much_is_counted(shelf, client):
    row = shelf.began()
    actions.mark(stocktake=row, by=shelf.by, codes="a7 e1")
    pages = (f"places/stocktakes/{row.code}/", f"places/{shelf.next_bay.code}/sheet/?list=yes",
             "places/stocktakes/")  # fmt: skip
    few = [_queries(client, at(shelf, path)) for path in pages]
    more = []
    for number in range(12):
        code = f"M-{number:03d}"
        add_piece(**shelf.given(), code=code, kind="microphone")
        custody.move(**shelf.given(), code=code, to=shelf.next_bay.code)
        more.append(code)
    actions.mark(stocktake=row, by=shelf.by, codes=" ".join(more))
    assert [_queries(client, at(shelf, path)) for path in pages] == few
    actions.finish(stocktake=row, by=shelf.by)
    beside = _queries(client, at(shelf, pages[0]))
    actions.mark(stocktake=row, by=shelf.by, codes="g3 g4 a12 case7")
    assert _queries(client, at(shelf, pages[0])) == beside


def test_another_collection_has_its_own_counts(shelf, stranger):
    row = shelf.began()
    other = client_of(stranger)
    path = f"/{stranger.collection.slug}/places/stocktakes/{row.code}/"
    assert other.get(path).status_code == 404
    assert list(queries.running(stranger.collection)) == []

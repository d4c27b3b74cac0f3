"""Choosing, setting and checking a dossier, through the pages that people use."""

import io
import json
import re
from datetime import date

import pikepdf
import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.core.management import CommandError, call_command
from django.test import Client

from collection.core import dossier_check
from collection.core.build_window import BuildWindow
from collection.ledger import proof
from collection.ledger.models import Event
from collection.ledger.redaction.actions import take_out_words
from collection.ledger.sealing.actions import seal
from collection.papers.dossier import contents
from collection.papers.dossier.opened import entries_of
from collection.papers.models import PaperMade
from tests.builders import client_of
from tests.papers.dossier.story import CODE, OWNER, SELLER, a_history
from tests.typesetting.reading import text_of

CHECK = "/link/dossier/"


@pytest.fixture(autouse=True)
def photo_folder(settings, tmp_path):
    settings.PHOTOS = tmp_path


@pytest.fixture
def history(collection, technician):
    return a_history(collection, technician)


@pytest.fixture
def client(technician):
    return client_of(technician)


def ticked(client, history):
    """What the form has ticked before anybody touches it, as a browser would send it."""
    page = client.get(history.address).content.decode()
    sent = {"once": re.search(r'name="once" value="(\w+)"', page)[1], "for_whom": ""}
    for name in ("lines", "words", "photos", "named"):
        boxes = re.findall(rf'<input type="checkbox" name="{name}" value="([^"]+)"([^>]*)>', page)
        sent[name] = [value for value, rest in boxes if "checked" in rest]
    return sent


def made(client, history, **changed):
    """The PDF of a choice."""
    answer = client.post(history.address, {**ticked(client, history), **changed})
    assert answer.status_code == 200, answer.content.decode()
    assert answer["Content-Type"] == "application/pdf"
    return answer.content


def root_of(history):
    return proof.root_of(history.collection)[1]


def squeezed(text):
    return text.replace(" ", "")


def numbers_in(pdf):
    return [one["content"]["entry"] for one in json.loads(entries_of(pdf))["entries"]]


def test_a_dossier_made_as_suggested_holds_under_the_root_of_the_book(client, history):
    pdf = made(client, history)
    found = dossier_check.check(entries_of(pdf), root=root_of(history))
    assert found.fits, found.findings
    assert found.against == "given"
    assert found.subject == CODE


def test_what_is_private_stays_out_and_nothing_of_it_is_printed(client, history):
    pdf = made(client, history)
    shown = numbers_in(pdf)
    assert history.number("valued") not in shown
    assert history.number("home") not in shown
    assert history.number("acquired") in shown
    text, everything = squeezed(text_of(pdf)), entries_of(pdf).decode()
    for secret in (SELLER, OWNER, "Kirkcudbright", "MV-7F-42", "6,200", "620000"):
        assert squeezed(secret) not in text, secret
        assert secret not in everything, secret


def test_provenance_names_private_parties_by_role(client, history):
    text = squeezed(text_of(made(client, history)))
    assert squeezed("A pub player, until May 2, 2011; purchased by private collection") in text
    assert squeezed("A gap is not evidence of theft.") in text


def test_a_party_is_named_only_when_chosen(client, history):
    text = squeezed(text_of(made(client, history, named=["N-702"])))
    assert squeezed(f"purchased by {OWNER}") in text
    assert squeezed(SELLER) not in text


def test_a_value_is_printed_only_when_its_entry_is_ticked(client, history):
    lines = [*ticked(client, history)["lines"], str(history.number("valued"))]
    pdf = made(client, history, lines=lines)
    assert "6,200.00" in text_of(pdf)
    assert dossier_check.check(entries_of(pdf), root=root_of(history)).fits


def test_words_that_name_somebody_stay_back_and_the_entry_goes_along(client, history):
    pdf = made(client, history)
    found = dossier_check.check(entries_of(pdf), root=root_of(history))
    gossip = next(one for one in found.entries if one.number == history.number("gossip"))
    assert gossip.words is None
    assert gossip.had_words
    assert "Wordskeptback" in squeezed(text_of(pdf))


def test_words_go_along_once_they_are_ticked(client, history):
    words = [*ticked(client, history)["words"], str(history.number("gossip"))]
    pdf = made(client, history, words=words)
    found = dossier_check.check(entries_of(pdf), root=root_of(history))
    assert found.fits
    assert f"Hums, says {SELLER}." in [one.words for one in found.entries]


def test_a_correction_goes_along_with_what_it_struck(client, history):
    pdf = made(client, history, lines=[str(history.number("corrected"))])
    assert numbers_in(pdf) == [history.number("struck"), history.number("corrected")]
    assert squeezed(f"entry {history.number('struck')}") in squeezed(text_of(pdf))


def test_words_taken_out_later_do_not_break_the_proof(client, history, keeper):
    take_out_words(event=history.entries["gossip"], by=keeper, because="asked to")
    pdf = made(client, history)
    found = dossier_check.check(entries_of(pdf), root=root_of(history))
    assert found.fits, found.findings
    assert SELLER not in entries_of(pdf).decode()


def test_an_older_seal_checks_a_newer_dossier(client, history, keeper):
    seal(collection=history.collection, by=keeper, went_to="the broker")
    sealed = Event.objects.of(history.collection).get(kind="sealed").facts
    found = dossier_check.check(
        entries_of(made(client, history)), root=f"{sealed['size']}:{sealed['root']}"
    )
    assert (found.fits, found.against) == (True, "seal")


def test_nothing_ticked_is_refused_and_what_was_typed_stays(client, history):
    sent = {**ticked(client, history), "lines": [], "for_whom": "the broker"}
    answer = client.post(history.address, sent)
    assert answer.status_code == 422
    text = answer.content.decode()
    assert "Tick at least one entry" in text
    assert 'value="the broker"' in text
    assert PaperMade.objects.count() == 0


def test_a_history_of_thousands_of_lines_can_be_sent(client, history):
    sent = ticked(client, history)
    sent["words"] = sent["words"][:1] * 5_000
    assert client.post(history.address, sent).status_code == 200


def test_an_entry_of_another_history_cannot_be_slipped_in(client, history, collection):
    sent = {**ticked(client, history), "lines": ["999999"]}
    assert client.post(history.address, sent).status_code == 422


def test_a_whole_group_is_ticked_without_a_script(client, history):
    sent = {**ticked(client, history), "tick": "private:all"}
    page = client.post(history.address, sent).content.decode()
    boxes = re.findall(r'name="lines" value="(\d+)"([^>]*)>', page)
    on = {int(number) for number, rest in boxes if "checked" in rest}
    assert {history.number("valued"), history.number("home")} <= on
    sent = {**ticked(client, history), "tick": "titles:none"}
    page = client.post(history.address, sent).content.decode()
    boxes = dict(re.findall(r'name="lines" value="(\d+)"([^>]*)>', page))
    assert "checked" not in boxes[str(history.number("acquired"))]


def test_a_paper_made_is_kept_by_its_hash_and_listed(client, history):
    pdf = made(client, history, for_whom="the broker")
    record = PaperMade.objects.get()
    assert record.entries == numbers_in(pdf)
    assert record.byte_count == len(pdf)
    page = client.get(f"/{history.collection.slug}/papers/made/").content.decode()
    assert record.sha256 in page
    assert "for the broker" in page


def test_pressed_twice_it_is_written_down_once(client, history):
    sent = ticked(client, history)
    first, second = client.post(history.address, sent), client.post(history.address, sent)
    assert first.status_code == second.status_code == 200
    assert PaperMade.objects.count() == 1


def test_who_only_looks_makes_no_dossier(viewer_client, history):
    assert viewer_client.get(history.address).status_code == 403
    assert viewer_client.get(f"/{history.collection.slug}/papers/made/").status_code == 403


def test_choosing_reads_a_long_history_in_few_questions(
    client, history, django_assert_max_num_queries
):
    for name in ("corrected", "gossip", "document"):
        history.entries[f"again-{name}"] = history.entries[name]
    with django_assert_max_num_queries(24):
        assert client.get(history.address).status_code == 200
    with django_assert_max_num_queries(10):
        assert client.get(f"/{history.collection.slug}/papers/made/").status_code == 200


# -- checking, by somebody who is not signed in -------------------------------------------------


def checked(data, root="", name="dossier.pdf"):
    file = SimpleUploadedFile(name, data)
    return Client().post(CHECK, {"file": file, "root": root})


def test_somebody_handed_a_dossier_checks_it_without_signing_in(client, history):
    pdf, before = made(client, history), PaperMade.objects.count()
    answer = checked(pdf, root_of(history))
    text = answer.content.decode()
    assert answer.status_code == 200
    assert "under the root you gave" in text
    assert "Played in Leith, then in Ayr." in text
    assert PaperMade.objects.count() == before
    assert "noindex" in answer["X-Robots-Tag"]


def test_the_file_alone_is_accepted_too(client, history):
    answer = checked(entries_of(made(client, history)), root_of(history), "entries.json")
    assert "under the root you gave" in answer.content.decode()


def test_without_a_root_the_page_says_that_nothing_is_proved(client, history):
    assert "proves nothing" in checked(made(client, history)).content.decode()


def test_a_page_that_was_forged_around_true_entries_shows_what_the_entries_say(client, history):
    """The visible text cannot lie for long: the page reads the attachment."""
    inside = entries_of(made(client, history))
    forged = pikepdf.new()
    forged.add_blank_page()
    forged.attachments["entries.json"] = pikepdf.AttachedFileSpec(forged, inside)
    data = io.BytesIO()
    forged.save(data)
    text = checked(data.getvalue(), root_of(history)).content.decode()
    assert "Played in Leith, then in Ayr." in text


def test_a_pdf_that_shows_another_file_under_the_same_name_is_refused(client, history):
    pdf = made(client, history)
    with pikepdf.open(io.BytesIO(pdf)) as opened:
        lie = pikepdf.AttachedFileSpec(opened, b'{"forged": true}', filename="entries.json")
        opened.attachments["shown"] = lie
        data = io.BytesIO()
        opened.save(data)
    answer = checked(data.getvalue(), root_of(history))
    assert answer.status_code == 422
    assert "more than one entries.json" in answer.content.decode()


def test_an_entry_altered_inside_the_pdf_is_named(client, history):
    inside = entries_of(made(client, history)).replace(b"then in Ayr", b"then in Oban")
    with pikepdf.open(io.BytesIO(made(client, history))) as pdf:
        pdf.attachments["entries.json"] = pikepdf.AttachedFileSpec(pdf, inside)
        data = io.BytesIO()
        pdf.save(data)
    text = checked(data.getvalue(), root_of(history)).content.decode()
    assert "does not hold" in text
    assert f"Entry {history.number('corrected')}: its words are not" in text


@pytest.mark.parametrize(
    ("data", "says"),
    [
        (b"", "empty"),
        (b"hello", "damaged or no dossier"),
        (b"%PDF-1.7\nnonsense", "cannot be read"),
        (b"[1]", "no dossier"),
    ],
)
def test_what_is_no_dossier_is_refused_beside_the_field(db, data, says):
    answer = checked(data)
    assert answer.status_code == 422
    assert says in answer.content.decode()


@pytest.mark.parametrize("value", [[], {}, "\ud800", 2**53])
@pytest.mark.parametrize("key", ["corrects", "happened"])
def test_an_entry_that_says_nonsense_is_answered_on_the_page(client, history, key, value):
    said = json.loads(entries_of(made(client, history)))
    said["entries"][0]["content"][key] = value
    answer = checked(json.dumps(said).encode(), name="entries.json")
    text = answer.content.decode()
    assert "does not hold" in text if answer.status_code == 200 else "damaged or no" in text


def test_a_pdf_without_entries_says_what_is_missing(db):
    bare, data = pikepdf.new(), io.BytesIO()
    bare.add_blank_page()
    bare.save(data)
    assert "no entries.json inside" in checked(data.getvalue()).content.decode()


def test_a_pdf_that_unpacks_without_end_is_refused(db):
    bomb, data = pikepdf.new(), io.BytesIO()
    bomb.add_blank_page()
    bomb.attachments["entries.json"] = pikepdf.AttachedFileSpec(bomb, bytes(80 * 2**20))
    bomb.save(data, compress_streams=True)
    assert len(data.getvalue()) < 2**20
    assert checked(data.getvalue()).status_code == 422


def test_a_root_that_is_none_stands_by_its_own_field(client, history):
    answer = checked(made(client, history), "abc")
    assert answer.status_code == 422
    assert "A seal reads like" in answer.content.decode()


# -- and on the machine -------------------------------------------------------------------------


def test_the_command_checks_a_file_and_asks_no_database(
    client, history, tmp_path, capsys, django_assert_num_queries
):
    file = tmp_path / "dossier.pdf"
    file.write_bytes(made(client, history))
    root = root_of(history)
    with django_assert_num_queries(0):
        call_command("verify", dossier=str(file), root=root)
    assert "under the root you gave" in capsys.readouterr().out
    with pytest.raises(CommandError, match="does not hold"):
        call_command("verify", dossier=str(file), root="0" * 64)
    with pytest.raises(CommandError, match="cannot be read"):
        call_command("verify", dossier=str(tmp_path / "none.pdf"))


def test_a_window_that_contradicts_itself_says_that_no_day_fits():
    window = BuildWindow(date(1964, 12, 31), date(1964, 11, 2), "", ())
    assert contents._window(window)[0] == (
        "no day fits: not before 31 December 1964, but not after 2 November 1964"
    )
    same = BuildWindow(date(1964, 11, 2), date(1964, 11, 2), "", ())
    assert contents._window(same)[0].startswith("not before 2 November 1964, not after")

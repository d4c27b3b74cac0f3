"""Labels as pages and as paper: what is on them, what never is, and that codes can be read."""

import html
import io
import re

import pikepdf
import pytest
import typst
from django.test import Client
from PIL import Image

from collection.catalogue.actions import add_piece
from collection.core.qr_code import QUIET_MODULES, qr_code
from collection.custody import actions as custody
from collection.custody.cases.models import CaseSheet
from registry.access.actions import set_finder_contact
from tests.builders import client_of
from tests.qr_reading import read_modules, text_of
from tests.typesetting.test_typeset import text_of as words_in

CONTACT = "the gear desk, +44 1632 960142"


@pytest.fixture
def rack(collection, technician):
    given = {"collection": collection, "by": technician}
    bay = custody.add_place(**given, name="Bay 1", kind="room")
    case = custody.add_place(**given, name="Case 07", kind="case", code="CASE-07", inside=bay)
    custody.add_party(**given, name="Bo Lindgren", does="organist")
    said = {"A-007": ("Harbour 50", "old faithful", 21_000), "A-021": ("Twelve", "Bo’s", 15_000)}
    for code, (name, nickname, grams) in said.items():
        add_piece(**given, code=code, kind="amplifier", name=name, nickname=nickname,
                  mass_grams=grams, serial="HB 1147", hidden_mark="MV-7F-22",
                  value_minor=940_000)  # fmt: skip
        custody.move(**given, code=code, to=case.code)
    CaseSheet.objects.create(place=case, tare_grams=12_000)
    return case


@pytest.fixture
def client(technician):
    return client_of(technician)


def ask(client, rack, page="", **chosen):
    return client.get(f"/{rack.collection.slug}/papers/labels/{page}", {"kind": "piece",
                      "paper": "a4", **chosen})  # fmt: skip


def page_of(client, rack, **chosen):
    answer = ask(client, rack, **chosen)
    assert answer.status_code == 200
    return html.unescape(answer.content.decode())


def pdf_of(client, rack, **chosen):
    answer = ask(client, rack, "sheet.pdf", **chosen)
    assert answer["Content-Type"] == "application/pdf", answer.content.decode()[:2000]
    return answer.content


def pictures_in(pdf):
    """Every picture of a PDF, in order of page."""
    with pikepdf.open(io.BytesIO(pdf)) as read:
        return [
            pikepdf.PdfImage(image).as_pil_image()
            for page in read.pages
            for _, image in sorted(page.get_images().items())
        ]


def test_every_code_on_the_paper_reads_back_as_the_address_of_its_piece(client, rack):
    base = f"http://testserver/{rack.collection.slug}/pieces"
    wanted = {f"{base}/A-007/", f"{base}/A-021/"}
    across = qr_code(f"{base}/A-007/").across
    read = {
        text_of(read_modules(one, across))
        for one in pictures_in(pdf_of(client, rack, codes="a7 a21"))
    }
    assert read == wanted


def test_every_code_keeps_its_quiet_zone_on_the_paper(client, rack):
    """ISO/IEC 18004: four light modules on every side."""
    for one in pictures_in(pdf_of(client, rack, codes="a7 a21")):
        grey = one.convert("L")
        across = qr_code(f"http://testserver/{rack.collection.slug}/pieces/A-007/").across
        quiet = QUIET_MODULES * grey.width // across
        assert grey.crop((0, 0, grey.width, quiet)).getextrema() == (255, 255)
        assert grey.crop((0, 0, quiet, grey.height)).getextrema() == (255, 255)


def test_a_printed_page_reads_at_300_dots_an_inch(client, rack):
    """Drawn by the compiler as a printer would, cut out at its place and read again."""
    from collection.custody.whereabouts import whereabouts
    from collection.papers.labels.forms import LabelsForm
    from collection.papers.labels.sheet import _placed

    form = LabelsForm(
        {"kind": "piece", "codes": "a7", "paper": "a4", "start": "5"},
        collection=rack.collection, known=whereabouts(_member(rack)),
        absolute=lambda path: f"https://gear.example.org{path}",
    )  # fmt: skip
    assert form.is_valid(), form.errors
    page = _drawn(form)
    (spot,) = _placed(form, "")
    dots = 300 / 25.4
    side = float(form.qr_mm) * dots
    left = (spot["x"] + 3) * dots
    top = (spot["y"] + float(form.sheet.height_mm) / 2) * dots - side / 2
    code = qr_code(form.labels[0].address)
    cut = page.crop((round(left), round(top), round(left + side), round(top + side)))
    assert text_of(read_modules(cut, code.across)) == form.labels[0].address


def _member(rack):
    from registry.access.models import Membership

    return Membership.objects.of(rack.collection).first()


def _drawn(form):
    """The first sheet as a picture of 300 dots an inch."""
    from unittest.mock import patch

    from collection.papers.labels import sheet
    from registry import clock

    kept = {}
    real = typst.compile

    def compile_(main, **how):
        png = {k: v for k, v in how.items() if k not in ("format", "pdf_standards", "timestamp")}
        kept["page"] = real(main, format="png", ppi=300, **png)
        return real(main, **how)

    with patch("registry.typesetting.typeset.typst.compile", compile_):
        sheet.pdf(form, contact="", made_at=clock.now())
    pages = kept["page"]
    return Image.open(io.BytesIO(pages[0] if isinstance(pages, list) else pages))


def test_a_label_too_small_for_a_telephone_is_refused_with_the_figures(client, rack):
    text = page_of(client, rack, codes="a7", columns="8", rows="10")
    assert re.search(r"needs 1\d\.\d mm to be read; such a label leaves 1\d\.\d mm", text)
    refused = ask(client, rack, "sheet.pdf", codes="a7", columns="8", rows="10")
    assert refused["Content-Type"].startswith("text/html")


def test_the_text_beside_the_code_works_without_a_telephone(client, rack):
    text = words_of(pdf_of(client, rack, codes="a7"))
    for said in ("A-007", "Harbour 50", "old faithful"):
        assert said.replace(" ", "") in text


def words_of(pdf):
    """The text of a PDF without its spaces, which are set by moving on."""
    return words_in(pdf).replace(" ", "")


def test_no_label_says_a_name_a_value_a_serial_a_mark_or_a_place(client, rack, collection):
    set_finder_contact(collection, contact=CONTACT)
    for kind in ("piece", "tag"):
        text = page_of(client, rack, codes="a7 a21", kind=kind)
        sheet = text[text.index('class="count-list"') : text.index("If somebody finds one")]
        for secret in ("Bo", "9400", "9,400", "HB 1147", "MV-7F-22", "Bay", "POWER"):
            assert not re.search(rf"\b{secret}\b", sheet), (kind, secret)
        assert "A-021" in sheet


def test_a_swing_tag_says_whom_to_ring_and_a_label_does_not(client, rack, collection):
    set_finder_contact(collection, contact=CONTACT)
    assert CONTACT.replace(" ", "") in words_of(pdf_of(client, rack, codes="a7", kind="tag"))
    assert CONTACT.replace(" ", "") not in words_of(pdf_of(client, rack, codes="a7"))


def test_a_case_label_counts_weighs_and_says_that_two_lift(client, rack):
    """21 + 15 + 12 kg; more than the 23 kg that one person lifts (see core.cautions)."""
    text = page_of(client, rack, kind="case", place="CASE-07", words="This side up")
    for said in ("CASE-07", "2 pieces", "48 kg", "Two people lift"):
        assert said in text
    assert "Thissideup" in words_of(pdf_of(client, rack, kind="case", codes="case 7",
                                             words="This side up"))  # fmt: skip


def test_a_case_not_all_weighed_says_at_least(client, rack):
    CaseSheet.objects.filter(place=rack).delete()
    text = page_of(client, rack, kind="case", codes="case 7")
    assert "at least 36 kg" in text


def test_everything_in_a_place_is_printed_and_a_used_sheet_goes_on(client, rack):
    with pikepdf.open(io.BytesIO(pdf_of(client, rack, place="CASE-07", start="24"))) as pdf:
        assert len(pdf.pages) == 2
        width, height = (float(n) * 25.4 / 72 for n in pdf.pages[0].mediabox[2:])
    assert (round(width), round(height)) == (210, 297)


def test_what_is_no_code_or_nothing_is_refused_beside_the_field(client, rack):
    text = page_of(client, rack, codes="a7 x99")
    assert "X99 is no piece of this collection" in text
    assert re.search(r"<textarea[^>]*>\s*a7 x99</textarea>", text)
    assert "Nothing chosen" in page_of(client, rack)
    assert "The sheet has labels 1 to 24" in page_of(client, rack, codes="a7", start="25")


def test_pieces_of_another_collection_are_not_printed(client, rack, stranger):
    add_piece(collection=stranger.collection, by=stranger, code="Z-001", kind="effect")
    assert "Z-001 is no piece" in page_of(client, rack, codes="Z-001")


def test_a_finder_reads_whom_to_ring_and_nothing_else(rack, collection):
    set_finder_contact(collection, contact=CONTACT)
    answer = Client().get(f"/{collection.slug}/pieces/A-007/", follow=True)
    text = html.unescape(answer.content.decode())
    assert "You found this?" in text
    assert CONTACT in text
    for secret in ("Harbour", "A-007", collection.name):
        assert secret not in re.sub(r'name="next" value="[^"]*"', "", text)


def test_a_finder_learns_nothing_of_which_codes_there_are(rack, collection):
    set_finder_contact(collection, contact=CONTACT)

    def seen(path):
        text = Client().get(f"/{collection.slug}/{path}", follow=True).content.decode()
        return re.sub(r'(name="(next|csrfmiddlewaretoken)" value=")[^"]*', r"\1", text)

    assert seen("pieces/A-007/") == seen("pieces/X-999/")
    assert CONTACT not in seen("book/")


def test_without_a_contact_a_finder_sees_a_page_to_sign_in(rack, collection):
    answer = Client().get(f"/{collection.slug}/pieces/A-007/", follow=True)
    assert "You found this?" not in answer.content.decode()


def test_only_a_keeper_names_the_contact_and_never_by_name(rack, keeper, technician, collection):
    path = f"/{collection.slug}/papers/labels/contact/"
    assert client_of(technician).post(path, {"contact": CONTACT}).status_code == 403
    client = client_of(keeper)
    refused = client.post(path, {"contact": "Bo Lindgren, +44 1632 960142"})
    assert "names a person" in refused.content.decode()
    collection.refresh_from_db()
    assert collection.finder_contact == ""
    client.post(path, {"contact": CONTACT})
    collection.refresh_from_db()
    assert collection.finder_contact == CONTACT


def test_a_code_that_no_telephone_could_open_is_cautioned_about(client, rack):
    path = f"/{rack.collection.slug}/papers/labels/"
    assert "this machine alone" in client.get(path, headers={"host": "localhost"}).content.decode()
    assert "this machine alone" not in client.get(path).content.decode()


def test_the_page_takes_the_same_queries_however_much_is_printed(
    client, rack, technician, django_assert_max_num_queries
):
    given = {"collection": rack.collection, "by": technician}
    for number in range(12):
        code = f"M-{number:03d}"
        add_piece(**given, code=code, kind="microphone")
        custody.move(**given, code=code, to=rack.code)
    for kind in ("piece", "case"):
        with django_assert_max_num_queries(14):
            page_of(client, rack, kind=kind, place=rack.code)

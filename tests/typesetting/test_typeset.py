"""What a paper that leaves the house promises, read back with a library that did not write it.

Sources: ISO 19005-3:2012 (PDF/A-3): §6.2.2 output intent, §6.6 metadata with `pdfaid:part` and
`pdfaid:conformance`, §6.8 embedded files with `AFRelationship`; ISO 14289-1:2014 (PDF/UA-1): §7.1
marked and titled, §7.2 language, §7.3 alternative text. Clause numbers from memory.
"""

import io
import tempfile
from datetime import UTC, datetime, timedelta, timezone

import pikepdf
import pytest
from PIL import Image

from registry.typesetting import Attachment, PaperFailed, Relationship, typeset
from tests.typesetting.reading import opened, text_of

MADE_AT = datetime(2026, 11, 24, 14, 20, 31, 999, tzinfo=UTC)
DATA = {
    "code": "A-007",
    "collection": "Mirren Vale",
    "as_of": "24 November 2026",
    "words": "plain words",
    "serial": "HB-0117",
    "photos": [],
}


def sample(**changed):
    arguments = {"title": "Sample of A-007", "made_at": MADE_AT, **changed}
    return typeset("sample", {**DATA, **arguments.pop("data", {})}, **arguments)


def picture(form="JPEG"):
    made = io.BytesIO()
    Image.new("RGB", (60, 40), "#17222c").save(made, form)
    return made.getvalue()


PHOTO = {"photos": [{"name": "front.jpg", "alt": "Front with the name plate"}]}


def test_a_paper_says_which_standard_it_keeps_and_what_it_is():
    with opened(sample()) as pdf:
        told = pdf.open_metadata()
        assert told["pdfaid:part"] == "3"
        assert told["pdfaid:conformance"] == "A"
        assert told["pdfuaid:part"] == "1"
        assert told["dc:title"] == "Sample of A-007"
        assert told["xmp:CreateDate"] == "2026-11-24T14:20:31Z"


def test_colours_mean_what_the_output_intent_says():
    with opened(sample()) as pdf:
        intent = pdf.Root.OutputIntents[0]
        assert intent.S == "/GTS_PDFA1"
        assert bytes(intent.DestOutputProfile.read_bytes())[36:40] == b"acsp", "an ICC profile"


def test_a_paper_can_be_read_aloud_in_its_language():
    with opened(sample(language="no")) as pdf:
        assert pdf.Root.MarkInfo.Marked
        assert str(pdf.Root.Lang) == "no"
        assert pdf.Root.ViewerPreferences.DisplayDocTitle
        assert pdf.Root.StructTreeRoot.K is not None


def test_words_can_be_taken_out_again():
    text = text_of(sample())
    assert "HB-0117" in text
    assert "plainwords" in text.replace(" ", "")
    assert "page1of1" in text.replace(" ", "")


def test_attached_files_come_out_as_they_went_in_and_say_what_they_are():
    content = bytes(range(256))
    files = [
        Attachment("entries.json", content, "application/json", "The entries"),
        Attachment("README.txt", b"read", "text/plain", "How", Relationship.SUPPLEMENT),
    ]
    with opened(sample(attachments=files)) as pdf:
        assert sorted(pdf.attachments) == ["README.txt", "entries.json"]
        assert pdf.attachments["entries.json"].get_file().read_bytes() == content
        assert pdf.attachments["entries.json"].get_file().mime_type == "application/json"
        assert {str(each.UF): str(each.AFRelationship) for each in pdf.Root.AF} == {
            "entries.json": "/Data",
            "README.txt": "/Supplement",
        }


def test_the_same_arguments_give_the_same_bytes():
    arguments = {"data": PHOTO, "pictures": {"front.jpg": picture()}}
    assert sample(**arguments) == sample(**arguments)


def test_the_zone_in_which_an_instant_is_given_changes_nothing():
    there = MADE_AT.astimezone(timezone(timedelta(hours=5)))
    assert sample(made_at=there) == sample()


def test_markup_typed_by_people_stays_text():
    hostile = '*x* #data.code $1$ `y` <a> @b "]]) \\'
    assert hostile.replace(" ", "") in text_of(sample(data={"words": hostile})).replace(" ", "")


@pytest.mark.parametrize(
    ("typed", "printed"),
    [
        ("\u4e2d", "[U+4E2D]"),
        ("\U0001f3b8", "[U+1F3B8]"),
        ("\ue000", "[U+E000]"),
        ("\x07", "[U+0007]"),
        ("\ud800", "[U+D800]"),
        ("\u202e", "[U+202E]"),
        ('"\uffff\\', '"[U+FFFF]\\'),
    ],
)
def test_a_character_without_a_glyph_is_printed_as_its_number(typed, printed):
    text = text_of(sample(data={"words": f"x{typed}y"}, title=f"x{typed}y"))
    assert f"x{printed}y" in text


def test_a_character_that_a_shipped_font_has_stays_itself():
    assert "ЖØ½→" in text_of(sample(data={"words": "ЖØ½→"}))


def test_pictures_are_put_in_with_their_words():
    with opened(sample(data=PHOTO, pictures={"front.jpg": picture()})) as pdf:
        told = [
            str(o.Alt) for o in pdf.objects if isinstance(o, pikepdf.Dictionary) and "/Alt" in o
        ]
        assert told == ["Front with the name plate"]


def test_a_picture_that_nobody_described_stops_the_paper():
    data = {"photos": [{"name": "front.jpg", "alt": None}]}
    with pytest.raises(PaperFailed, match=r"sample.*alt"):
        sample(data=data, pictures={"front.jpg": picture()})


@pytest.mark.parametrize(
    ("changed", "says"),
    [
        ({"pictures": {"x.gif": picture("GIF")}}, "neither a JPEG nor a PNG"),
        ({"data": {"words": object()}}, "no JSON"),
        ({"data": {"words": float("nan")}}, "no JSON"),
        ({"data": PHOTO}, "front.jpg"),
        ({"made_at": datetime(2026, 1, 1)}, "time zone"),
    ],
)
def test_a_paper_that_fails_says_which_and_why(changed, says):
    with pytest.raises(PaperFailed, match=f"(?s)'sample'.*{says}") as failed:
        sample(**changed)
    assert tempfile.gettempdir() not in str(failed.value)


@pytest.mark.parametrize("name", ["none_such", "../../manage", "/etc/passwd", "base.typ"])
def test_only_our_own_templates_are_set(name):
    with pytest.raises(PaperFailed, match="no such template"):
        typeset(name, {}, title="x", made_at=MADE_AT)


def test_an_attachment_cannot_name_a_folder():
    with pytest.raises(ValueError, match="letters"):
        Attachment("../x", b"", "text/plain", "x")


def test_nothing_is_left_on_the_disk_not_even_by_a_failure(tmp_path, monkeypatch):
    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path))
    sample(data=PHOTO, pictures={"front.jpg": picture()})
    with pytest.raises(PaperFailed):
        sample(data=PHOTO)
    assert list(tmp_path.iterdir()) == []

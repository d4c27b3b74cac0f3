"""The notice and the officer's sheet: what each says, and what the notice never says."""

import html
import re

import pytest

from collection.catalogue.actions import add_photo
from collection.custody import actions
from collection.custody.whereabouts import whereabouts
from collection.papers.theft import sheets as theft
from tests.builders import client_of
from tests.catalogue.photo_samples import drawn, saved


@pytest.fixture(autouse=True)
def photo_folder(settings, tmp_path):
    settings.PHOTOS = tmp_path


def photo_of(story, code, *, shade, shows_mark=False):
    picture = saved(drawn((64, 40 + shade)), "PNG")
    photo = add_photo(
        collection=story.collection, by=story.by, subject=story.pieces[code].subject, data=picture
    )
    photo.shows_mark = shows_mark
    photo.save(update_fields=["shows_mark"])
    return photo


def page(story, incident, sheet):
    client = client_of(story.by)
    answer = client.get(f"/{story.collection.slug}/papers/{sheet}/{incident.code}/")
    assert answer.status_code == 200
    article = re.search(r"<article.*</article>", answer.content.decode(), re.S)[0]
    return html.unescape(article)


def plain(text):
    return re.sub(r"<[^>]*>", "", text)


def test_the_notice_shows_its_own_pieces_with_doubtful_characters_spelt_out(story):
    text = plain(page(story, story.stolen("G-003"), "notice"))
    assert "L8-5I-04B7" in text
    assert "letter I, zero, then letter B" in text
    assert "reported, reference pending" not in text  # nobody has rung yet
    assert "not reported to the police yet" in text
    assert "between Sat 14 Mar 2026, 10:50 and Sat 14 Mar 2026, 12:15" in text
    assert "Do not approach anyone. Do not buy it. Ring." in text


def test_the_notice_never_shows_another_piece(story):
    theirs = photo_of(story, "A-007", shade=1)
    incident = story.stolen("G-003")
    incident = actions.update_report(
        incident=incident, by=story.by, photos={"G-003": theirs.pk, "A-007": theirs.pk}
    )
    text = page(story, incident, "notice")
    assert "/photos/" not in text
    for other in ("HB 1147", "R1-8406", "Harbour 50", "Return One"):
        assert other not in plain(text)


def test_a_text_with_another_pieces_serial_is_left_off(story):
    piece = story.pieces["G-003"]
    piece.finish = "dark stain, sold with HB-1147"
    piece.save()
    incident = story.stolen("G-003")
    assert "1147" not in plain(page(story, incident, "notice"))
    sheet = theft.notice_of(incident, whereabouts(story.by))
    assert sheet.withheld == ("G-003, its finish: gives a number kept off the notice",)


def test_the_hidden_mark_and_one_mark_are_held_back(story):
    text = plain(page(story, story.stolen(), "notice"))
    assert "filled screw hole" in text
    for kept in ("chip at the second fret", "one foot is brass", "MV-7F", "MV7F"):
        assert kept not in text


def test_the_hidden_mark_is_not_told_as_a_serial(story):
    piece = story.pieces["G-003"]
    piece.serial = "mv 7f 03"
    piece.save()
    text = plain(page(story, story.stolen("G-003"), "notice"))
    assert "7f" not in text.casefold()


def test_a_photo_that_shows_a_held_back_mark_is_not_shown_even_when_chosen(story):
    shown = photo_of(story, "G-003", shade=1)
    secret = photo_of(story, "G-003", shade=2, shows_mark=True)
    incident = actions.update_report(
        incident=story.stolen("G-003"), by=story.by, photos={"G-003": secret.pk}
    )
    text = page(story, incident, "notice")
    assert f"/photos/{secret.pk}/" not in text
    assert f"/photos/{shown.pk}/page/" in text
    assert text.count("<img") == 1


def test_the_notice_names_nobody(story, technician):
    incident = story.stolen(
        "G-003",
        place_words=f"room of {technician.name}",
        contact_words="Jonah Rae at the desk",
        contact_reach="+44 1632 960142",
    )
    text = plain(page(story, incident, "notice"))
    for word in (*technician.name.split(), "Jonah", "Rae"):
        assert word not in text
    assert "the gear desk" in text


def test_a_notice_offers_nobody_who_cannot_be_reached(story):
    assert "Or" not in plain(page(story, story.stolen("G-003"), "notice")).split()
    assert "the gear desk, +44 1632 960142" in plain(
        page(story, story.stolen("E-004", contact_reach="+44 1632 960142"), "notice")
    )


def test_a_piece_that_is_back_is_on_no_notice(story):
    incident = story.stolen("G-003", "E-004")
    back = {"collection": story.collection, "by": story.by, "at": story.warehouse.code}
    actions.recover(code="G-003", **back)
    sheet = theft.notice_of(incident, whereabouts(story.by))
    assert [item.name for item in sheet.items] == ["Return One"]
    assert sheet.withheld == ("G-003: by the book it is quarantined now, not stolen",)
    assert theft.refusals(incident) == ()
    actions.recover(code="E-004", **back)
    assert theft.refusals(incident) == (
        "By the book nothing of this is stolen now, and a notice says 'stolen'.",
    )
    answer = client_of(story.by).post(
        f"/{story.collection.slug}/papers/theft/{incident.code}/notice.pdf", {"language": "de"}
    )
    assert answer.status_code == 422


def test_the_officer_is_told_which_piece_is_back(story):
    incident = story.stolen("G-003", "E-004")
    actions.recover(collection=story.collection, by=story.by, at=story.warehouse.code, code="G-003")
    text = plain(page(story, incident, "officer"))
    assert text.count("by the book now: quarantined") == 1


def test_the_notice_names_no_private_place(story):
    incident = actions.report_theft(
        collection=story.collection, by=story.by, pieces=["G-003"], place=story.home,
        place_words="music room at Saltings",
    )  # fmt: skip
    text = plain(page(story, incident, "notice"))
    assert "Saltings" not in text
    assert "Kirkcudbright" not in text


def test_a_public_place_is_named_with_its_town(story):
    text = plain(page(story, story.stolen("G-003"), "notice"))
    assert "Hamburg, DE" in text
    assert "locked dressing room, Hafenhalle" in text


def test_reported_without_a_number_yet_says_so_and_the_number_replaces_it(story):
    incident = actions.tick(incident=story.stolen("G-003"), by=story.by, step="police")
    assert "reported, reference pending" in plain(page(story, incident, "notice"))
    incident = actions.update_report(
        incident=incident, by=story.by, report="reported", police_reference="DR 14/2026"
    )
    text = plain(page(story, incident, "notice"))
    assert "reference DR 14/2026" in text
    assert "pending" not in text


def test_the_officer_reads_numbers_as_an_index_takes_them(story):
    incident = story.stolen(keys_words="three: office, cleaning, tour", entry_words="no damage")
    text = plain(page(story, incident, "officer"))
    # Wisconsin DOJ, TIME system manual: no spaces, hyphens or symbols.
    for said in ("L85I04B7", "MV7F03", "R18406", "MV7F19"):
        assert said in text
    for said in (
        "three: office, cleaning, tour",
        "no damage",
        "together 18,800.00\N{NO-BREAK SPACE}EUR",
    ):
        assert said in text
    assert "HB1147" not in text


def test_a_viewer_reads_neither_sheet(story, viewer_client):
    incident = story.stolen("G-003")
    for sheet in ("notice", "officer"):
        address = f"/{story.collection.slug}/papers/{sheet}/{incident.code}/"
        assert viewer_client.get(address).status_code == 403


def test_a_notice_takes_the_same_number_of_queries_for_one_piece_or_three(
    story, django_assert_max_num_queries
):
    one, three = story.stolen("A-007"), story.stolen("G-003", "E-004")
    known = whereabouts(story.by)
    for incident in (one, three):
        with django_assert_max_num_queries(9):
            theft.notice_of(incident, known)

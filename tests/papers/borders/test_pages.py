"""Borders through their pages."""

from datetime import date

import pytest

from collection.catalogue.models import Piece
from collection.papers.borders import actions
from collection.papers.borders.models import CarnetCrossing, ListedGoods
from collection.papers.models import PaperMade
from collection.road.actions import travel
from collection.road.carnet.models import Carnet
from tests.builders import client_of
from tests.catalogue.photo_samples import drawn, saved
from tests.papers.borders.builders import PAPER, a_carnet, an_issued_carnet, passed
from tests.road.builders import a_road, an_amplifier
from tests.typesetting.reading import text_of


@pytest.fixture(autouse=True)
def photo_folder(settings, tmp_path):
    settings.PHOTOS = tmp_path


@pytest.fixture
def client(technician):
    return client_of(technician)


def address(road, *more):
    return "/".join(["", road.collection.slug, "papers/borders", road.tour.code, *more, ""])


def test_a_carnet_is_begun_chosen_issued_and_closed(client, technician):
    road = a_road(technician)
    assert "No carnet is written down" in client.get(address(road)).content.decode()
    assert client.post(address(road, "carnet"), PAPER).status_code == 302
    client.post(address(road, "choose"), {"codes": ["A-003"]})
    goods = {"kind": "cables", "what": "set of cables", "count": 1, "kilograms": "8.2",
             "value": "300", "made_in": "gb", "once": "4" * 32}  # fmt: skip
    client.post(address(road, "goods"), goods)
    assert ListedGoods.objects.get().grams == 8_200
    page = client.get(address(road)).content.decode()
    assert "two pieces" in page
    assert "Not weighed." in page
    said = {"issued_on": "2024-10-20", "valid_until": ""}
    assert client.post(address(road, "issue"), said).status_code == 302
    carnet = Carnet.objects.get()
    assert (carnet.valid_until, carnet.listed) == (date(2025, 10, 19), {"A-003"})
    page = client.get(address(road)).content.decode()
    assert "Nothing may be added after issue" in page
    assert "These are on the list" not in page


def test_without_a_carnet_nothing_is_said_to_agree(client, technician):
    page = client.get(address(a_road(technician), "truck")).content.decode()
    assert "nothing to hold the truck against" in page
    assert "list and truck agree" not in page
    assert "Every line has" not in page


def test_a_refusal_stands_on_the_form_with_what_was_typed(client, technician):
    road, _ = a_carnet(technician)
    answer = client.post(
        address(road, "issue"), {"issued_on": "2024-10-20", "valid_until": "2026-01-01"}
    )
    assert answer.status_code == 422
    page = answer.content.decode()
    assert "a year at most" in page
    assert 'value="2026-01-01"' in page


def test_uk_is_told_to_be_gb(client, technician):
    road = a_road(technician)
    answer = client.post(address(road, "carnet"), PAPER | {"home": "UK"})
    assert answer.status_code == 422
    assert "Great Britain is GB." in answer.content.decode()


def test_on_an_issued_list_nothing_is_chosen_any_more(client, technician):
    road, carnet = an_issued_carnet(technician)
    page = client.post(address(road, "choose"), {"codes": []}, follow=True).content.decode()
    assert "nothing is added to its list" in page
    carnet.refresh_from_db()
    assert carnet.listed == {"A-003", "A-018"}


def test_the_tour_page_refuses_to_add_to_an_issued_list(client, technician):
    road, _ = an_issued_carnet(technician)
    an_amplifier(technician, "A-900", at=road.truck)
    travels = f"/{road.collection.slug}/road/tours/{road.tour.code}/travel/"
    answer = client.post(travels, {"piece": "A-900", "on_carnet": "on"}, follow=True)
    assert "nothing is added" in answer.content.decode()
    assert not road.tour.travelling.filter(piece__code="A-900").exists()


def test_the_paper_has_seven_columns_totals_and_words(client, technician):
    road, _ = an_issued_carnet(technician)
    answer = client.post(address(road, "list"), {"once": "3" * 32})
    assert answer["Content-Type"] == "application/pdf"
    text = " ".join(text_of(answer.content).split())
    for head in ("1 ITEM", "2 TRADE DESCRIPTION", "3 PIECES", "4 WEIGHT", "5 VALUE", "6 ORIGIN",
                 "7 CUSTOMS"):  # fmt: skip
        assert head.replace(" ", "") in text.upper().replace(" ", "")
    assert "fivethousandsixhundredpounds" in text.replace(" ", "")
    assert "Information,notlegaladvice" in text.replace(" ", "")
    assert PaperMade.objects.get().get_paper_display() == "list of goods"
    assert client.get(f"/{road.collection.slug}/papers/made/").status_code == 200


def test_a_crossing_comes_with_the_photo_of_its_stamp(client, technician):
    from django.core.files.uploadedfile import SimpleUploadedFile

    road, carnet = an_issued_carnet(technician)
    picture = SimpleUploadedFile("foil.png", saved(drawn(), "PNG"), content_type="image/png")
    sent = {"direction": "import", "country": "no", "place": "Kristiansand", "on": "2024-11-10",
            "stamped": "yes", "voucher": "2", "photo": picture, "once": "8" * 32}  # fmt: skip
    assert client.post(address(road, "cross"), sent).status_code == 302
    row = CarnetCrossing.objects.get()
    assert (row.country, row.photo.entry, row.photo.subject) == ("NO", row.entry, carnet.subject)
    page = client.get(address(road)).content.decode()
    assert 'alt="Counterfoil, Kristiansand' in page


def test_a_crossing_to_come_is_refused_beside_its_day(client, technician):
    road, _ = an_issued_carnet(technician)
    sent = {"direction": "export", "country": "GB", "place": "Newcastle", "on": "2999-01-01",
            "stamped": "yes"}  # fmt: skip
    answer = client.post(address(road, "cross"), sent)
    assert answer.status_code == 422
    assert "has not come yet" in answer.content.decode()


def test_a_missing_stamp_is_shown_everywhere_until_it_is_put_right(client, technician):
    road, carnet = an_issued_carnet(technician)
    row = actions.cross(carnet=carnet, by=technician, passed=passed(stamped=False))
    overview = f"/{road.collection.slug}/papers/borders/"
    for page in (overview, address(road), address(road, "truck")):
        assert "not stamped" in client.get(page).content.decode()
    right = f"{overview}crossings/{row.pk}/"
    sent = {"on": "2024-11-20", "how_right": "the chamber took the ferry ticket"}
    assert client.post(right, sent).status_code == 302
    assert "put right" in client.get(address(road)).content.decode()
    assert "every crossing in the register is stamped" in client.get(overview).content.decode()


def test_tonight_and_the_tour_say_it_on_a_border_day(client, technician, monkeypatch):
    from registry import clock
    from tests.road.builders import NOW

    road, _ = an_issued_carnet(technician)
    monkeypatch.setattr(clock, "now", lambda: NOW)
    slug = road.collection.slug
    for page in (f"/{slug}/", f"/{slug}/road/tours/{road.tour.code}/"):
        assert "Don’t leave unstamped: GB to NO" in client.get(page).content.decode()


def test_who_only_looks_sees_no_list_of_values(viewer_client, technician):
    road, _ = an_issued_carnet(technician)
    assert viewer_client.get(address(road)).status_code == 403
    tour = viewer_client.get(f"/{road.collection.slug}/road/tours/{road.tour.code}/")
    assert "papers/borders" not in tour.content.decode()


def test_sending_to_a_repairer_says_that_a_border_is_another_procedure(client, technician):
    page = client.get(f"/{technician.collection.slug}/bench/jobs/send/").content.decode()
    assert "repair is another procedure than a carnet" in page


def test_pages_ask_the_same_few_questions_whatever_the_size(
    client, technician, django_assert_max_num_queries
):
    road, carnet = a_carnet(technician)
    for number in range(12):
        piece = an_amplifier(technician, f"A-8{number:02}", at=road.truck)
        travel(tour=road.tour, piece=piece, on_carnet=True)
        actions.cross(carnet=carnet, by=technician, passed=passed(stamped=number % 2 == 0))
    assert Piece.objects.filter(travels__tour=road.tour).count() == 14
    with django_assert_max_num_queries(26):
        assert client.get(address(road)).status_code == 200
    with django_assert_max_num_queries(26):
        assert client.get(address(road, "truck")).status_code == 200

"""The page of one piece: what it says, to whom, and with how many queries."""

import re
from decimal import Decimal

import pytest

from collection.bench import actions as bench
from collection.catalogue import actions as catalogue
from collection.core.events.title_changed import TitleChanged
from collection.custody import actions as custody
from collection.ledger import actions as ledger
from collection.ledger.models import Event
from collection.ledger.telling import Telling
from collection.road.models import RigPosition, Show, Tour
from collection.stock import actions as stock
from registry import clock
from tests.builders import client_of
from tests.catalogue.photo_samples import drawn, saved
from tests.desk.piece_builders import (
    a_piece,
    a_place,
    days_ago,
    hung,
    proved,
    put,
    stolen,
)
from tests.road.builders import a_road, an_amplifier


@pytest.fixture
def read(technician, technician_client):
    """The page of a piece as text without tags, spaces made one."""
    return lambda code="A-001", client=technician_client: words(
        client.get(f"/{technician.collection.slug}/pieces/{code}/").content.decode()
    )


def words(page):
    return " ".join(re.sub(r"<[^>]+>", " ", page).split())


def test_the_papers_spell_out_doubtful_characters(technician, read):
    a_piece(technician, serial="5O2-I6407", year="1964/1968", mass_grams=21400,
            load_ohms=Decimal("8.0"), marks=["rope handle"])  # fmt: skip
    page = read()
    assert "letter O, letter I, then zero" in page
    assert "built 1964 to 1968" in page
    assert "21.4 kg" in page
    assert "8 Ω" in page
    assert "rope handle" in page


def test_the_same_serial_on_another_piece_is_pointed_out(technician, read):
    a_piece(technician, serial="5021")
    a_piece(technician, "A-002", serial="5021", name="Harbour 50")
    assert "the same number is on A-002 Harbour 50" in read()


def test_value_and_hidden_mark_are_kept_from_viewers(technician, viewer, read):
    a_piece(technician, value_minor=480000, value_currency="GBP", hidden_mark="blue dot")
    assert "4,800.00" in read()
    assert "blue dot" in read()
    seen = read(client=client_of(viewer))
    assert "4,800" not in seen
    assert "blue dot" not in seen


def test_where_it_is_and_who_saw_it_last(technician, read):
    a_piece(technician)
    assert "nobody has written that they saw it" in read()
    put(technician, "A-001", a_place(technician, "Carlisle warehouse"), telling=days_ago(3))
    assert f"by {technician.name} at Carlisle warehouse" in read()
    assert "00:00" not in read()


def test_freight_strikes_the_proofs_below_it(technician, technician_client, read):
    a_piece(technician)
    proved(technician, "A-001", level="bench-checked", days=30)
    put(technician, "A-001", a_place(technician, "Bergen"), manner="freight-sea",
        telling=days_ago(20))  # fmt: skip
    proved(technician, "A-001", days=10)
    page = technician_client.get(f"/{technician.collection.slug}/pieces/A-001/").content.decode()
    lines = re.findall(r"<li( class=\"\w+\")?><time[^>]*>[^<]*</time><div>", page)
    assert lines == ["", ' class="broken"', ' class="voided"']
    assert "void since: freight by sea" in words(page)
    assert "counts until" in words(page)


def test_an_open_fault_shows_its_way_out(technician, technician_client):
    a_piece(technician)
    fault = bench.fault(collection=technician.collection, by=technician, code="A-001",
                        symptom="standby pops", intermittent=True)  # fmt: skip
    page = technician_client.get(f"/{technician.collection.slug}/pieces/A-001/").content.decode()
    assert f"{fault.code}: standby pops" in page
    assert '<li class="reached" aria-current="step"><b>intermittent</b>' in page
    bench.settle_fault(collection=technician.collection, by=technician, fault=fault,
                       outcome="fixed")  # fmt: skip
    page = technician_client.get(f"/{technician.collection.slug}/pieces/A-001/").content.decode()
    assert "No open fault." in page
    assert "0 of 4 shows without it" in page


def test_a_hung_tag_says_who_why_and_what_lifts_it(technician, read):
    a_piece(technician)
    proved(technician, "A-001")
    hung(technician, "A-001", "Water in the chassis", check="insulation test")
    page = read()
    assert "Do not power" in page
    assert "Water in the chassis" in page
    assert f"Hung by {technician.name}" in page
    assert "by insulation test" in page
    assert "unproven since" in page


def test_a_proposed_tag_is_shown_as_a_proposal(technician, read):
    a_piece(technician)
    hung(technician, "A-001", "smells hot", proposed=True)
    page = read()
    assert "A tag is proposed nothing hangs yet" in page
    assert "Hung by" not in page


def test_a_stolen_piece_says_so_on_top(technician, technician_client):
    a_piece(technician)
    incident = stolen(technician, "A-001")
    page = technician_client.get(f"/{technician.collection.slug}/pieces/A-001/").content.decode()
    assert '<span class="state" data-s="gone">stolen</span>' in page
    assert incident in page
    assert page.index('data-s="gone"') < page.index("Where and working")


def test_a_recovered_piece_shows_its_gates(technician, keeper, read):
    a_piece(technician)
    stolen(technician, "A-001")
    place = a_place(technician, "Hamburg")
    custody.recover(collection=technician.collection, by=technician, code="A-001",
                    at=place.code)  # fmt: skip
    assert "Quarantine 5 gates shut" in read()
    custody.clear_gate(collection=technician.collection, by=keeper, code="A-001",
                       gate="insurer", answer="not-apply", because="no claim was paid")  # fmt: skip
    assert "Quarantine 4 gates shut" in read()
    assert "no claim was paid does not apply" in read()


def test_the_owner_is_who_the_book_says(technician, read):
    a_piece(technician)
    party = custody.add_party(collection=technician.collection, by=technician, name="Bo Lindgren")
    with ledger.open_book(technician.collection, technician) as book:
        book.append(TitleChanged(owner=party.code), "A-001", Telling(happened="2011"))
    assert "Owner Bo Lindgren" in read()


def test_the_chart_shows_what_fits_and_what_is_fitted(technician, read):
    circuit = catalogue.add_circuit(
        collection=technician.collection,
        name="HB-50/2",
        positions=(
            {"name": "V5", "does": "output", "fits": ["EL34"], "matched_with": "output"},
            {"name": "V4", "does": "output", "fits": ["EL34"], "matched_with": "output"},
            {"name": "V1", "does": "input", "fits": ["12AX7"], "grade": "V1-quiet"},
        ),
    )
    a_piece(technician, circuit=circuit)
    type_ = stock.add_type(collection=technician.collection, code="EL34", base="octal")
    lot = stock.add_lot(collection=technician.collection, by=technician, type=type_,
                        brand="Ostrow", in_sets=True)  # fmt: skip
    stock.receive(collection=technician.collection, by=technician, lot=lot, units=4)
    stock.issue(collection=technician.collection, by=technician, lot=lot, units=2,
                piece="A-001", position="output", part_code="OS-14")  # fmt: skip
    page = read()
    assert "matched: output OS-14 , Ostrow" in page
    assert "12AX7 input not in the book; wants V1-quiet" in page


def test_a_corrected_entry_is_struck_and_says_who_put_it_right(technician, technician_client):
    a_piece(technician)
    entry = bench.repair(collection=technician.collection, by=technician, code="A-001",
                         what="Output transformer replaced", telling=days_ago(9))  # fmt: skip
    facts = {**entry.facts, "what": "Output transformer rewound"}
    ledger.correct(collection=technician.collection, by=technician, event=entry, facts=facts,
                   telling=days_ago(9, words="The bill says rewound."))  # fmt: skip
    page = technician_client.get(f"/{technician.collection.slug}/pieces/A-001/").content.decode()
    assert re.search(r"<del>[^<]*Output transformer replaced[^<]*</del>", page)
    assert re.search(r"<ins>.*Output transformer rewound.*</ins>", page, re.S)
    assert f"by {technician.name}." in words(page)


def test_the_life_line_says_names_of_places_not_codes(technician, read):
    a_piece(technician)
    place = a_place(technician, "Carlisle warehouse")
    put(technician, "A-001", place)
    assert "Moved to Carlisle warehouse." in read()
    assert f"Moved to {place.code}" not in read()


def test_a_long_life_goes_on_further_back(technician, technician_client):
    a_piece(technician)
    for number in range(55):
        ledger.note(collection=technician.collection, by=technician, subject="A-001",
                    telling=days_ago(60 - number, words=f"Line {number}"))  # fmt: skip
    address = f"/{technician.collection.slug}/pieces/A-001/"
    page = technician_client.get(address).content.decode()
    assert "Line 54" in page
    assert "Line 2<" not in page
    further = re.search(r'href="(\?before=\d+)#life-line">Further back', page)[1]
    assert "Line 2<" in technician_client.get(address + further).content.decode()


def test_a_photo_stands_with_its_entry(technician, technician_client):
    piece = a_piece(technician)
    photo = catalogue.add_photo(collection=technician.collection, by=technician,
                                subject=piece.subject, data=saved(drawn(), "PNG"),
                                view="serial")  # fmt: skip
    page = technician_client.get(f"/{technician.collection.slug}/pieces/A-001/").content.decode()
    life = page.split('id="life-line"')[1]
    assert f"/pieces/photos/{photo.pk}/thumb/" in life
    assert "not shown here" not in life


def test_questions_about_it_are_listed(technician, read):
    a_piece(technician)
    stolen(technician, "A-001")
    custody.sight(collection=technician.collection, by=technician, code="A-001")
    assert "Questions what does not fit" in read()
    assert "The book says it is stolen" in read()


def test_its_position_on_the_tour_that_is_on_is_painted_on_the_label(technician, read):
    piece = a_piece(technician)
    today = days_ago(0).happened
    tour = Tour.objects.create(collection=technician.collection, code="north", name="North",
                               starts_on=today, ends_on=today)  # fmt: skip
    RigPosition.objects.create(tour=tour, number=3, name="amp left", piece=piece)
    assert "position 3 of North" in read()
    with ledger.open_book(technician.collection, technician) as book:
        subject = book.new_subject("show")
    venue = a_place(technician, "Sjohallen", "venue")
    Show.objects.create(subject=subject, collection=technician.collection, code=subject.code,
                        tour=tour, number=14, venue=venue, on=today)  # fmt: skip
    assert "position 3 tonight, Sjohallen" in read()


def test_a_viewer_is_offered_no_press_that_writes(technician, technician_client, viewer):
    a_piece(technician)
    hung(technician, "A-001")
    address = f"/{viewer.collection.slug}/pieces/A-001/"
    writing = [f"{address}edit/", f"{address}photos/add/", "Record the check", "Report a theft",
               "correct or withdraw"]  # fmt: skip
    offered = technician_client.get(address).content.decode()
    assert [press for press in writing if press not in offered] == []
    seen = client_of(viewer).get(address).content.decode()
    assert [press for press in writing if press in seen] == []


def test_the_page_takes_the_same_queries_however_much_happened(
    technician, technician_client, django_assert_max_num_queries
):
    piece = a_piece(technician)
    place = a_place(technician, "Carlisle")
    with django_assert_max_num_queries(MOST) as few:
        technician_client.get(f"/{technician.collection.slug}/pieces/A-001/")
    for number in range(12):
        put(technician, "A-001", place, manner="freight-road", telling=days_ago(90 - 2 * number))
        proved(technician, "A-001", days=89 - 2 * number)
        bench.fault(collection=technician.collection, by=technician, code="A-001",
                    symptom=f"hum {number}", telling=days_ago(40))  # fmt: skip
        catalogue.add_photo(collection=technician.collection, by=technician,
                            subject=piece.subject,
                            data=saved(drawn((64 + number, 40)), "PNG"))  # fmt: skip
    with django_assert_max_num_queries(MOST) as many:
        technician_client.get(f"/{technician.collection.slug}/pieces/A-001/")
    # Two more at most: entries past the window of a chain, and the states of its faults.
    assert len(many) - len(few) <= 3
    assert Event.objects.of(technician.collection).count() > 48


MOST = 26


def test_what_rides_in_a_truck_of_the_tour_is_on_the_tour_without_a_position(
    technician, technician_client
):
    today = clock.today(technician.collection.zone_info)
    road = a_road(technician, on=today)
    an_amplifier(technician, "A-031", at=road.truck)
    for code, said in (("A-031", "on this tour, no position tonight"),
                       ("A-018", "on this tour, backup of 1 organ amp")):  # fmt: skip
        page = technician_client.get(f"/{technician.collection.slug}/pieces/{code}/")
        assert said in page.content.decode()
        assert "not on a tour now" not in page.content.decode()

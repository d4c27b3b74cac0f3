"""A carnet from its first line to a stamp that was forgotten."""

from datetime import date

import pytest

from collection.bench.actions import tag_out
from collection.catalogue.models import Piece
from collection.core.customs_rules import added_after_issue
from collection.ledger.errors import LedgerError, PlanRefused
from collection.ledger.models import Event
from collection.ledger.telling import Telling
from collection.papers.borders import actions, goods, queries
from collection.road.actions import stay_home, travel
from collection.road.models import Travelling
from tests.papers.borders.builders import a_carnet, an_issued_carnet, page_of, passed
from tests.road.builders import TODAY, an_amplifier


@pytest.fixture(autouse=True)
def photo_folder(settings, tmp_path):
    settings.PHOTOS = tmp_path


def test_the_open_list_is_made_from_what_travels(technician):
    road, _ = a_carnet(technician)
    listed = page_of(road).goods
    assert listed.codes == ("A-003", "A-018")
    assert [line.row.description for line in listed.lines] == [
        "Brannoch Twelve, amplifier, serial 0400", "Brannoch Twelve, amplifier, serial 0411",
    ]  # fmt: skip
    assert listed.findings == ()
    assert listed.totals.value_in_words == "five thousand six hundred pounds"


def test_pieces_stand_in_the_order_of_truck_and_case(technician):
    from collection.custody.actions import add_place, move

    road, _ = a_carnet(technician)
    made = {"collection": road.collection, "by": technician}
    case = add_place(**made, name="case 07", kind="case", code="CASE-07", inside=road.truck)
    first = an_amplifier(technician, "A-900", at=road.truck)
    travel(tour=road.tour, piece=first, on_carnet=True)
    move(**made, code="A-003", to=case.code, telling=Telling(happened="2023-04-01"))
    assert page_of(road).goods.codes == ("A-018", "A-900", "A-003")
    assert page_of(road).goods.lines[-1].packed_in == "Truck A, case 07"


def test_a_tagged_out_piece_is_never_on_a_carnet(technician):
    # Source: domain rule of this register
    road, _ = a_carnet(technician)
    tag_out(collection=road.collection, by=technician, code="A-018", reason="smells hot")
    page = page_of(road)
    assert page.goods.codes == ("A-003",)
    assert [(piece.code, why) for piece, why in page.kept_off] == [("A-018", "tagged out")]


def test_issued_the_list_stands_whatever_happens_to_the_pieces(technician):
    road, carnet = an_issued_carnet(technician)
    before = page_of(road).goods.rows
    Piece.objects.filter(code="A-003").update(serial="other", mass_grams=1)
    stay_home(tour=road.tour, piece=Piece.objects.get(code="A-018"))
    assert page_of(road).goods.rows == before
    assert goods.issued(carnet) == before


def test_nothing_is_added_after_issue(technician):
    # Source: ATA Convention and Istanbul Convention, Annex A
    road, carnet = an_issued_carnet(technician)
    late = an_amplifier(technician, "A-900", at=road.truck)
    with pytest.raises(PlanRefused, match="nothing is added"):
        travel(tour=road.tour, piece=late, on_carnet=True)
    with pytest.raises(LedgerError, match="nothing is added"):
        actions.choose(carnet=carnet, by=technician, codes=["A-900"])
    with pytest.raises(LedgerError, match="nothing is added"):
        actions.list_goods(carnet=carnet, by=technician, kind="cables", what="set of cables")
    travel(tour=road.tour, piece=late)
    assert not Travelling.objects.get(piece=late).on_carnet
    draft = goods.draft(carnet, page_of(road).travels, page_of(road).known)
    assert added_after_issue(goods.issued(carnet), draft) == ()


def test_a_piece_that_comes_along_again_is_on_the_issued_list_still(technician):
    road, _ = an_issued_carnet(technician)
    piece = Piece.objects.get(code="A-018")
    stay_home(tour=road.tour, piece=piece)
    travel(tour=road.tour, piece=piece)
    assert Travelling.objects.get(piece=piece).on_carnet


def test_issued_only_who_travels_with_it_can_change(technician):
    road, carnet = an_issued_carnet(technician)
    assert actions.begin(tour=road.tour, by=technician, traveller="Deputy").traveller == "Deputy"
    with pytest.raises(LedgerError, match="nothing on it is changed"):
        actions.begin(tour=road.tour, by=technician, number="other")
    carnet.refresh_from_db()
    assert carnet.number == "GB/11/4711"


@pytest.mark.parametrize(
    ("paper", "until", "reason"),
    [
        ({}, date(2025, 10, 20), "a year at most"),  # Source: Istanbul Convention, Annex A
        ({"chamber": ""}, date(2025, 10, 19), "issuing chamber"),
        ({}, date(2024, 10, 19), "end before it is issued"),
    ],
)
def test_a_carnet_is_issued_whole_and_for_a_year_at_most(technician, paper, until, reason):
    road, carnet = a_carnet(technician, **paper)
    with pytest.raises(PlanRefused, match=reason):
        actions.issue(
            page=page_of(road), by=technician, issued_on=date(2024, 10, 20), valid_until=until
        )
    carnet.refresh_from_db()
    assert not carnet.issued


def test_an_empty_list_is_not_issued(technician):
    road, carnet = a_carnet(technician)
    actions.choose(carnet=carnet, by=technician, codes=[])
    dates = {"issued_on": date(2024, 10, 20), "valid_until": date(2025, 10, 19)}
    with pytest.raises(PlanRefused, match="Nothing is on the list"):
        actions.issue(page=page_of(road), by=technician, **dates)


def test_cables_and_tools_follow_the_pieces(technician):
    road, carnet = a_carnet(technician)
    facts = {"kind": "tools", "what": "hand tool kit", "inside": 34, "grams": 6_000,
             "value_minor": 40_000, "made_in": "GB"}  # fmt: skip
    made = [
        actions.list_goods(carnet=carnet, by=technician, once="5" * 32, **facts) for _ in range(2)
    ]
    assert made[0] == made[1]
    listed = page_of(road).goods
    assert listed.rows[-1].description == "hand tool kit, 34 pieces"
    assert listed.findings == ()
    actions.strike_goods(row=made[0], by=technician)
    assert len(page_of(road).goods.rows) == 2


def test_list_and_truck_are_compared_by_the_book(technician):
    from collection.custody.actions import move

    road, _ = an_issued_carnet(technician)
    an_amplifier(technician, "A-900", at=road.truck)
    moved = Telling(happened="2024-11-01")
    move(collection=road.collection, by=technician, code="A-018", to=road.venue.code,
         telling=moved)  # fmt: skip
    found = queries.truck(page_of(road))
    assert found.compared.missing == ("A-018",)
    assert found.compared.extra == ("A-900",)
    assert found.to_load[0][2] == road.venue.name  # the show is today
    assert not found.in_order


def test_a_line_without_weight_is_named_before_the_border(technician):
    road, _ = a_carnet(technician)
    Piece.objects.filter(code="A-018").update(mass_grams=None, made_in="")
    assert queries.truck(page_of(road)).incomplete == {"A-018": ("weight", "origin")}


def test_a_crossing_is_kept_and_stands_in_the_book_once(technician):
    _, carnet = an_issued_carnet(technician)
    told = Telling(once="7" * 32)
    rows = [
        actions.cross(carnet=carnet, by=technician, passed=passed(voucher="1"), telling=told)
        for _ in range(2)
    ]
    assert rows[0] == rows[1]
    words = Event.objects.get(sequence=rows[0].entry).words
    assert words == "Leaving home, GB, at Newcastle, voucher 1: counterfoil stamped."
    assert Event.objects.get(sequence=rows[0].entry).happened == "2024-11-09"


def test_an_unstamped_crossing_is_open_until_it_is_put_right(technician):
    _, carnet = an_issued_carnet(technician)
    row = actions.cross(carnet=carnet, by=technician, passed=passed(stamped=False))
    assert queries.unstamped(carnet.collection) == [row]
    actions.put_right(crossing=row, by=technician, on=date(2024, 11, 20), how="ferry ticket")
    assert queries.unstamped(carnet.collection) == []


def test_the_alarm_speaks_on_border_days_and_not_between(technician):
    road, carnet = an_issued_carnet(technician)
    actions.cross(carnet=carnet, by=technician, passed=passed(stamped=False))
    # one show, in Norway on the 24th: home is left the day before and reached the day after
    loud = queries.alarm(road.tour, today=TODAY)
    assert (loud.border.leaves, loud.border.enters) == ("GB", "NO")
    assert len(loud.unstamped) == 1
    assert not queries.alarm(road.tour, today=date(2024, 11, 20))
    assert queries.alarm(road.tour, today=date(2024, 11, 20), always=True).unstamped
    road.tour.carnet = False
    assert not queries.alarm(road.tour, today=TODAY)


def test_the_last_day_of_re_export_is_said(technician):
    road, carnet = an_issued_carnet(technician)
    came = passed(direction="import", country="NO", out_by=date(2024, 12, 1))
    actions.cross(carnet=carnet, by=technician, passed=came)
    (one,) = queries.alarm(road.tour, today=TODAY).out_soon
    assert one.out_by == date(2024, 12, 1)


def test_what_stands_in_tonights_hall_is_only_not_loaded_yet(technician):
    from collection.custody.actions import move, not_found

    road, _ = an_issued_carnet(technician)
    made = {"collection": road.collection, "by": technician}
    for code in ("A-003", "A-018"):
        move(**made, code=code, to=road.venue.code, telling=Telling(happened="2024-11-24"))
    not_found(**made, code="A-018", looked_at=road.venue.code)
    found = queries.truck(page_of(road))
    assert [code for code, _, _ in found.to_load] == ["A-003"]
    assert [(code, at) for code, _, at in found.missing] == [("A-018", "Sjøhallen, not found")]

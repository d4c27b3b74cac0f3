"""Parts in positions: plans checked, findings written, donors, sockets read again."""

import pytest

from collection.catalogue.actions import add_circuit, add_piece
from collection.catalogue.models import Piece
from collection.core.state import State as Known
from collection.core.state import from_json
from collection.ledger.errors import PlanRefused
from collection.ledger.models import Event, State
from collection.stock import actions as stock
from collection.stock.models import Part
from collection.stock.sockets import actions, donor
from collection.stock.sockets.chart import chart_of
from collection.stock.sockets.check import SayWhy
from collection.stock.sockets.reread import EMPTY, NOT_KNOWN, OTHER, SocketSeen, read_again
from tests.builders import client_of
from tests.stock.shelves import Desk, a_desk, a_show, output_tubes, pairs

pytestmark = pytest.mark.django_db

HEAD = (
    {"name": "V1", "does": "input", "fits": ["12AX7"], "grade": "V1-quiet"},
    {"name": "V2", "does": "tone", "fits": ["12AX7"]},
    {"name": "V4", "does": "output", "fits": ["EL34"], "matched_with": "output"},
    {"name": "V5", "does": "output", "fits": ["EL34"], "matched_with": "output"},
    {"name": "V6", "does": "rectifier", "fits": ["GZ34"]},
)


def _head(desk: Desk, code: str = "A-007") -> Piece:
    circuit = desk.member.collection
    found = Piece.objects.of(circuit).filter(circuit__isnull=False).first()
    drawn = found.circuit if found else add_circuit(
        collection=desk.member.collection, name="HB-50/2", positions=HEAD
    )  # fmt: skip
    return add_piece(**desk.who, code=code, kind="amplifier", circuit=drawn)


def _part(desk: Desk, type_code: str, code: str = "", **described) -> Part:
    kind = stock.add_type(collection=desk.member.collection, code=type_code)
    described = {"origin": "bought", **described}
    return actions.add_part(**desk.who, type=kind, code=code, **described)


def _state(row: Part | Piece) -> Known:
    return from_json(State.objects.get(subject=row.subject).detail)


def _asked(desk: Desk) -> list[str]:
    rows = Event.objects.of(desk.member.collection).filter(kind="asked").order_by("sequence")
    return [row.facts["question"] for row in rows]


def _piece(desk: Desk, code: str = "A-007") -> Piece:
    rows = Piece.objects.of(desk.member.collection)
    return rows.select_related("circuit", "subject__state").get(code=code)


# -- plans and findings --------------------------------------------------------------------------
def test_a_planned_wrong_type_is_refused_with_the_reason_and_nothing_is_written():
    desk = a_desk()
    piece, part = _head(desk), _part(desk, "EL84")
    with pytest.raises(PlanRefused, match="V4 of A-007 takes EL34"):
        actions.fit(**desk.who, piece=piece, position="V4", part=part)
    assert not Event.objects.of(desk.member.collection).filter(kind="fitted").exists()


def test_a_risky_plan_wants_to_know_why_and_keeps_the_answer():
    """5751 in a 12AX7 socket: heater 0.35 A instead of 0.30 A (from memory)."""
    desk = a_desk()
    piece, part = _head(desk), _part(desk, "5751")
    with pytest.raises(SayWhy, match=r"0\.35 A"):
        actions.fit(**desk.who, piece=piece, position="V1", part=part)
    event = actions.fit(**desk.who, piece=piece, position="V1", part=part, because="less hiss")
    assert event.facts["because"] == "less hiss"
    assert _asked(desk) == []


def test_a_rectifier_that_raises_the_supply_is_refused():
    desk = a_desk()
    piece = _head(desk)
    weak = stock.add_type(collection=desk.member.collection, code="5Y3GT")
    circuit = add_circuit(collection=desk.member.collection, name="low supply",
                          positions=[{"name": "V3", "fits": [weak.code]}])  # fmt: skip
    other = add_piece(**desk.who, code="A-050", kind="amplifier", circuit=circuit)
    strong = _part(desk, "GZ34")
    with pytest.raises(PlanRefused, match="raises the supply"):
        actions.fit(**desk.who, piece=other, position="V3", part=strong)
    assert actions.fit(**desk.who, piece=piece, position="V6", part=strong).kind == "fitted"


def test_an_exact_equivalent_needs_no_word():
    desk = a_desk()
    piece, part = _head(desk), _part(desk, "ECC83")
    assert actions.fit(**desk.who, piece=piece, position="V2", part=part).kind == "fitted"
    assert _asked(desk) == []


@pytest.mark.parametrize("how", ["done", "found"])
def test_a_wrong_type_that_is_in_there_is_written_and_asked(how):
    desk = a_desk()
    piece, part = _head(desk), _part(desk, "EL84")
    event = actions.fit(**desk.who, piece=piece, position="V4", part=part, how=how)
    assert event.facts["how"] == how
    assert any("V4 of A-007 takes EL34" in said for said in _asked(desk))
    assert _state(part).fitted_in == "A-007"


def test_a_part_in_two_places_is_written_and_asked():
    desk = a_desk()
    one, other, part = _head(desk), _head(desk, "A-012"), _part(desk, "12AX7", "S-9")
    actions.fit(**desk.who, piece=one, position="V1", part=part)
    actions.fit(**desk.who, piece=other, position="V2", part=part, how="found")
    assert _asked(desk) == ["The book has S-9 in A-007 V1, yet it is in V2 now."]
    socket = chart_of(_piece(desk)).sockets[0]
    assert "The book has S-9 in A-012 since." in socket.doubts


# -- out again -----------------------------------------------------------------------------------
def test_a_kept_out_original_stays_linked_to_its_piece():
    desk = a_desk()
    piece, part = _head(desk), _part(desk, "12AX7", origin="came")
    actions.fit(**desk.who, piece=piece, position="V1", part=part)
    goes = actions.Goes("kept-out")
    actions.take_out(**desk.who, piece="A-007", part=part, goes=goes)
    part.refresh_from_db()
    assert part.belongs_to == piece.subject
    assert (_state(part).fitted_in, _state(part).grade) == (None, "kept-out")


@pytest.mark.parametrize(
    ("to", "grade", "bucket"),
    [("pulled", "show", "pulled:show"), ("tested", "V1", "tested:V1"), ("dead", "", "dead"),
     ("kept-out", "", "kept-out"), ("unknown", "", "unexplained")],
)  # fmt: skip
def test_what_comes_out_goes_back_into_the_count_of_its_lot(to, grade, bucket):
    desk = a_desk()
    _head(desk)
    lot = pairs(desk, output_tubes(desk), 4)
    part = stock.issue(**desk.who, lot=lot, units=1, piece="A-007", position="output")
    actions.take_out(**desk.who, piece="A-007", part=part, goes=actions.Goes(to, grade))
    counts = dict(_state(lot).counts)
    assert counts == {"sealed": 3, bucket: 1}
    actions.fit(**desk.who, piece=_piece(desk), position="output", part=part, how="found")
    assert dict(_state(lot).counts) == {"sealed": 3, "fitted": 1}


def test_a_form_sent_twice_fits_once():
    desk = a_desk()
    _head(desk)
    kind = stock.add_type(collection=desk.member.collection, code="12AX7")
    sent = {
        "position": "V1",
        "how_far": "plan",
        "type": kind.code,
        "once": "ab12",
        "origin": "bought",
    }
    url = f"/{desk.member.collection.slug}/sockets/A-007/fit/"
    for _ in range(2):
        assert client_of(desk.member).post(url, sent).status_code == 302
    assert Event.objects.of(desk.member.collection).filter(kind="fitted").count() == 1
    assert Part.objects.of(desk.member.collection).count() == 1


# -- a donor -------------------------------------------------------------------------------------
def test_a_motor_out_of_a_donor_stands_in_both_histories_in_one_act():
    desk = a_desk()
    motor = {"positions": [{"name": "motor", "fits": ["capstan motor"]}]}
    drawn = add_circuit(collection=desk.member.collection, name="BS", **motor)
    gave = add_piece(**desk.who, code="E-005", kind="effect", circuit=drawn)
    took = add_piece(**desk.who, code="E-006", kind="effect", circuit=drawn)
    good, worn = _part(desk, "capstan motor", "S-1"), _part(desk, "capstan motor", "S-2")
    actions.fit(**desk.who, piece=gave, position="motor", part=good, how="found")
    actions.fit(**desk.who, piece=took, position="motor", part=worn, how="found")
    event = donor.strip(**desk.who, donor=gave, taken=[donor.Taken(good, took, "motor", worn)])
    acts = Event.objects.of(desk.member.collection).filter(act=event.act).order_by("sequence")
    assert [one.kind for one in acts] == ["stripped_for_parts", "removed", "fitted"]
    for row in (gave, took, good):
        assert acts.filter(mentions__subject=row.subject).exists()
    assert acts.last().mentions.filter(subject=gave.subject, role="donor").exists()
    assert _state(gave).fitted == ()
    assert _state(took).fitted == (("S-1", "motor"),)
    assert (_state(gave).standing, _state(worn).grade) == ("stripped", "kept-out")
    assert _asked(desk) == []


# -- the sockets read again ----------------------------------------------------------------------
def _charted() -> tuple[Desk, Piece, Part, Part]:
    desk = a_desk()
    piece = _head(desk)
    lot = pairs(desk, output_tubes(desk), 4)
    pair = stock.issue(**desk.who, lot=lot, units=1, piece="A-007", position="output",
                       part_code="OS-14")  # fmt: skip
    one = _part(desk, "12AX7", "S-1", origin="came")
    actions.fit(**desk.who, piece=piece, position="V1", part=one)
    return desk, piece, one, pair


def test_sockets_as_in_the_book_write_one_note_and_nothing_else():
    desk, piece, *_ = _charted()
    seen = [SocketSeen(position["name"]) for position in HEAD]
    event = read_again(**desk.who, piece=piece, seen=seen)
    assert event.words == "Sockets read again: all 5 as in the book."
    assert Event.objects.of(desk.member.collection).filter(act=event.act).count() == 1


def test_every_difference_is_written_in_one_act_with_its_question():
    desk, piece, one, _ = _charted()
    kind = stock.add_type(collection=desk.member.collection, code="5751")
    seen = [SocketSeen("V1", OTHER, type=kind, marking="Tidewell"), SocketSeen("V2", NOT_KNOWN),
            SocketSeen("V4"), SocketSeen("V5"), SocketSeen("V6", EMPTY)]  # fmt: skip
    event = read_again(**desk.who, piece=piece, seen=seen)
    acts = Event.objects.of(desk.member.collection).filter(act=event.act).order_by("sequence")
    kinds = [row.kind for row in acts if row.kind not in ("asked", "described")]
    assert kinds == ["removed", "fitted", "fitted", "noted"]
    assert _state(one).grade == "unknown"
    asked = _asked(desk)
    assert "S-1 is not in V1 as the book has it: where is it?" in asked
    assert any("5751" in said for said in asked)
    assert "Nobody knows what sits in V2 of A-007." in asked
    sockets = chart_of(_piece(desk)).sockets
    assert [bool(socket.doubts) for socket in sockets] == [True, True, False, False, False]
    assert [bool(socket.fitted) for socket in sockets] == [True, True, True, True, False]


def test_the_mate_of_a_broken_set_stays_and_takes_its_hours_along():
    desk, piece, _, _ = _charted()
    a_show(desk, "W-001", days_ago=0.1, pieces=("A-007",), ht="1.5")
    seen = [SocketSeen("V4", EMPTY), SocketSeen("V5")]
    read_again(**desk.who, piece=piece, seen=seen)
    fourth, fifth = chart_of(_piece(desk)).sockets[2:4]
    assert fourth.fitted is None
    assert fifth.fitted.ht.hours == 1.5
    assert fifth.fitted.heater.hours == 3


def test_a_part_known_by_its_code_is_not_made_anew():
    desk, piece, one, _ = _charted()
    seen = [SocketSeen("V1", OTHER, part=one), SocketSeen("V2", EMPTY)]
    event = read_again(**desk.who, piece=piece, seen=seen)
    assert event.words.startswith("Sockets read again: all 2 as in the book.")
    seen = [SocketSeen("V1", EMPTY), SocketSeen("V2", OTHER, part=one)]
    read_again(**desk.who, piece=piece, seen=seen)
    assert (_state(one).fitted_in, _state(one).position) == ("A-007", "V2")
    assert Part.objects.of(desk.member.collection).count() == 2


# -- pages ---------------------------------------------------------------------------------------
def _url(desk: Desk, rest: str) -> str:
    return f"/{desk.member.collection.slug}/{rest}"


def test_the_page_refuses_a_wrong_plan_and_keeps_what_was_typed():
    desk, *_ = _charted()
    stock.add_type(collection=desk.member.collection, code="EL84")
    sent = {"position": "V1", "how_far": "plan", "type": "EL84", "marking": "Tidewell 7"}
    page = client_of(desk.member).post(_url(desk, "sockets/A-007/fit/"), sent)
    assert page.status_code == 422
    said = page.content.decode()
    assert "V1 of A-007 takes 12AX7." in said
    assert "Tidewell 7" in said
    assert Part.objects.of(desk.member.collection).count() == 2


def test_the_page_asks_why_of_a_risky_plan():
    desk, *_ = _charted()
    stock.add_type(collection=desk.member.collection, code="5751")
    sent = {"position": "V2", "how_far": "plan", "type": "5751"}
    client = client_of(desk.member)
    page = client.post(_url(desk, "sockets/A-007/fit/"), sent)
    assert page.status_code == 422
    assert "I know, because" in page.content.decode()
    done = client.post(
        _url(desk, "sockets/A-007/fit/"), {**sent, "because": "tried it, it hums less"}
    )
    assert done.status_code == 302


def test_the_sockets_are_read_again_with_one_tap_a_difference():
    desk, *_ = _charted()
    client = client_of(desk.member)
    page = client.get(_url(desk, "sockets/A-007/read-again/")).content.decode()
    assert page.index("V1, input") < page.index("V2, tone") < page.index("V6, rectifier")
    assert page.index("Lethal voltage") < page.index('name="saw_0"')
    sent = {f"saw_{n}": "as-book" for n in range(5)} | {"saw_0": "empty"}
    assert client.post(_url(desk, "sockets/A-007/read-again/"), sent).status_code == 302
    said = client.get(_url(desk, "pieces/A-007/")).content.decode()
    assert "S-1 not in V1 any more" in said


def test_a_viewer_cannot_write_about_sockets():
    desk = a_desk(role="viewer")
    _head(desk)
    for page in ("fit", "read-again", "donor"):
        url = _url(desk, f"sockets/A-007/{page}/")
        assert client_of(desk.member).post(url, {}).status_code == 403
    assert (
        "Re-read the sockets"
        not in client_of(desk.member).get(_url(desk, "pieces/A-007/")).content.decode()
    )


def test_the_chart_takes_the_same_queries_whatever_it_holds(django_assert_max_num_queries):
    desk, piece, *_ = _charted()
    piece = _piece(desk)
    with django_assert_max_num_queries(11):
        chart_of(piece)
    for number in range(6):
        a_show(desk, f"W-{number}", days_ago=0.2 + number, pieces=("A-007",))
        kind = "12AX7" if number % 2 else "GZ34"
        position = "V2" if number % 2 else "V6"
        new = _part(desk, kind)
        actions.replace_part(**desk.who, piece=piece, position=position, part=new, how="done")
    piece = _piece(desk)
    with django_assert_max_num_queries(11):
        assert all(socket.fitted for socket in chart_of(piece).sockets)


def test_the_page_of_a_part_says_where_it_was_how_long_and_whose_it_is():
    desk, _, one, _ = _charted()
    actions.take_out(**desk.who, piece="A-007", part=one, goes=actions.Goes("kept-out"))
    page = client_of(desk.member).get(_url(desk, "stock/part/S-1/")).content.decode()
    assert "Kept out, an original of A-007." in page
    assert "A-007: S-1 fitted in V1" in page
    assert "A-007: S-1 removed from V1, kept out with its piece." in page


def test_what_is_left_of_a_set_and_the_set_name_each_other():
    desk, piece, _, _ = _charted()
    read_again(**desk.who, piece=piece, seen=[SocketSeen("V4", EMPTY), SocketSeen("V5")])
    single = Part.objects.of(desk.member.collection).exclude(code__in=["S-1", "OS-14"]).get()
    client = client_of(desk.member)
    assert "OS-14" in client.get(_url(desk, f"stock/part/{single.code}/")).content.decode()
    assert single.code in client.get(_url(desk, "stock/part/OS-14/")).content.decode()


def test_a_part_whose_past_nobody_knows_has_run_at_least_what_was_logged():
    desk, *_ = _charted()
    first, *_, pair, _, _ = chart_of(_piece(desk)).sockets
    assert (first.fitted.at_least, pair.fitted.at_least) == (True, False)
    page = client_of(desk.member).get(_url(desk, "pieces/A-007/")).content.decode()
    assert page.count("at least 0 h HT") == 1
    assert "What is not sure" not in page

"""Cases: what belongs, what is in them, packing in one act, kit, mass."""

import html
import re

import pytest

from collection.catalogue.actions import describe
from collection.custody import actions
from collection.custody.cases import queries
from collection.custody.cases.actions import Packed, pack, set_packing_list
from collection.custody.cases.models import KitLine
from collection.custody.queries import load_of
from collection.custody.whereabouts import whereabouts
from collection.ledger.actions import withdraw
from collection.ledger.models import Event
from collection.ledger.telling import Telling
from tests.builders import client_of


@pytest.fixture
def case(story):
    """Case 03 with the lap steel and the echo on its list, and two lines of kit."""
    describe(piece=story.pieces["E-004"], by=story.by, changes={"goes_with": "foot switch, cover"})
    set_packing_list(
        case=story.case, by=story.by, pieces=["G-003", "E-004"],
        kit=[(8, "speaker lead, 3 m"), (12, "battery, 9 V")], tare_grams=14_500, size="90 × 60 cm",
    )  # fmt: skip
    return story.case


def put(story, code, to):
    actions.move(collection=story.collection, by=story.by, code=code, to=to)


def contents(story, case):
    return queries.contents(case, whereabouts(story.by))


def at(story, path):
    return f"/{story.collection.slug}/places/{path}"


def kit_field(page, line):
    """The name of a field for kit, by its place on the page."""
    return re.findall(r'name="(kit_\d+)"', page)[line]


def text_of(answer, status=200):
    assert answer.status_code == status, answer.status_code
    return html.unescape(answer.content.decode())


def test_the_packing_list_is_the_usual_place_of_each_piece(story, case):
    story.pieces["G-003"].refresh_from_db()
    assert story.pieces["G-003"].usual_place == case.subject
    set_packing_list(case=case, by=story.by, pieces=["E-004"], kit=[])
    story.pieces["G-003"].refresh_from_db()
    assert story.pieces["G-003"].usual_place is None


def test_a_piece_in_the_wrong_case_is_shown_in_both(story, case):
    other = actions.add_place(
        collection=story.collection, by=story.by, name="Case 04", kind="case", code="CASE-04"
    )
    put(story, "G-003", "CASE-04")
    here, there = contents(story, case), contents(story, other)
    assert [one.piece.code for one in here.missing] == ["E-004", "G-003"]
    assert [(one.piece.code, one.usual) for one in there.strays] == [("G-003", "Case 03")]
    page = text_of(client_of(story.by).get(at(story, "CASE-04/")))
    assert "wrong case" in page
    assert "belongs in Case 03" in page


def test_packing_moves_what_is_ticked_in_one_act(story, case):
    put(story, "G-003", "CASE-03")
    before = Event.objects.count()
    pack(case=case, by=story.by, packed=Packed(("G-003", "E-004"), goes_with=("E-004|cover",)))
    written = list(Event.objects.order_by("sequence")[before:])
    assert len({event.act for event in written}) == 1
    assert [(e.kind, e.subject.code, e.words) for e in written] == [
        ("noted", "CASE-03", "Packed: 2 pieces."),
        ("sighted", "G-003", ""),
        ("moved", "E-004", "Without foot switch."),
    ]
    assert not contents(story, case).missing


def test_a_short_kit_line_is_recorded_and_never_refused(story, case):
    event = pack(case=case, by=story.by, packed=Packed((), kit={"speaker lead, 3 m": 6}))
    assert event.words == "Packed: 0 pieces. Kit: 6 of 8 speaker lead, 3 m."
    line = KitLine.objects.get(place=case, what="speaker lead, 3 m")
    assert (line.there, line.short, line.counted_by) == (6, True, story.by.code)
    assert KitLine.objects.get(place=case, what="battery, 9 V").there is None


def test_a_press_sent_twice_packs_once(story, case):
    telling = Telling(once="press")
    for _ in range(2):
        pack(case=case, by=story.by, packed=Packed(("G-003",)), telling=telling)
    assert Event.objects.filter(subject__code="CASE-03", kind="noted").count() == 1
    assert Event.objects.filter(subject__code="G-003", kind="moved").count() == 1


def test_a_count_of_kit_that_is_told_late_does_not_undo_a_newer_one(story, case):
    pack(case=case, by=story.by, packed=Packed((), kit={"battery, 9 V": 12}))
    told = Telling(happened="2026-03-02T10:00:00Z")
    event = pack(case=case, by=story.by, packed=Packed((), kit={"battery, 9 V": 3}), telling=told)
    assert "3 of 12 battery, 9 V" in event.words
    assert KitLine.objects.get(what="battery, 9 V").there == 12


def test_what_lies_in_a_pouch_of_the_case_stays_in_it_when_the_case_is_packed(story, case):
    actions.add_place(
        collection=story.collection, by=story.by, name="pouch", kind="case", code="CASE-31",
        inside=case,
    )  # fmt: skip
    put(story, "G-003", "CASE-31")
    pack(case=case, by=story.by, packed=Packed(("G-003",)))
    piece = next(one.piece for one in contents(story, case).in_it if one.piece.code == "G-003")
    assert piece.subject.state.place.code == "CASE-31"


def test_a_piece_moved_away_while_the_case_was_packed_is_taken_as_it_was_seen(story, case):
    """A-007 was a stray on the page; somebody wrote meanwhile that it stands elsewhere."""
    client = client_of(story.by)
    put(story, "A-007", "CASE-03")
    assert "A-007" in text_of(client.get(at(story, "CASE-03/pack/")))
    put(story, "A-007", story.room.code)
    answer = client.post(at(story, "CASE-03/pack/"), {"pieces": ["A-007"], "goes_with": "A-007|x"})
    assert answer.status_code == 302
    assert [one.piece.code for one in contents(story, case).in_it] == ["A-007"]


def test_counts_of_kit_keep_to_their_lines_when_the_list_changes_meanwhile(story, case):
    client = client_of(story.by)
    page = text_of(client.get(at(story, "CASE-03/pack/")))
    field = kit_field(page, 1)  # batteries
    kit = [(2, "gaffer tape"), (8, "speaker lead, 3 m"), (12, "battery, 9 V")]
    set_packing_list(case=case, by=story.by, pieces=["G-003"], kit=kit)
    client.post(at(story, "CASE-03/pack/"), {field: "11"})
    there = dict(KitLine.objects.values_list("what", "there"))
    assert there == {"gaffer tape": None, "speaker lead, 3 m": None, "battery, 9 V": 11}


def test_moving_a_packed_case_is_one_entry_on_the_case(story, case):
    pack(case=case, by=story.by, packed=Packed(("G-003", "E-004")))
    before = Event.objects.count()
    put(story, "CASE-03", story.room.code)
    assert Event.objects.count() == before + 1
    line = next(one for one in contents(story, case).in_it if one.piece.code == "G-003")
    assert whereabouts(story.by).words(line.piece.subject.state.place_id) == "Hafenhalle, Case 03"


def test_a_move_of_a_case_that_is_taken_back_hangs_it_where_it_was(story, case):
    was = case.path
    pack(case=case, by=story.by, packed=Packed(("G-003",)))
    put(story, "CASE-03", story.home.code)
    event = Event.objects.get(kind="moved", subject__code="CASE-03")
    withdraw(collection=story.collection, by=story.by, event=event, because="it was CASE-04")
    case.refresh_from_db()
    assert case.path == was
    found = whereabouts(story.by).words(case.pk)
    assert story.home.name not in found


def test_mass_is_pieces_and_case_and_says_when_two_lift_it(story, case):
    """4.1 kg and 9.0 kg in a case of 14.5 kg: 27.6 kg, over the 23 kg of the lifting equation.

    Source: Waters et al., Ergonomics 36 (1993), 749-776, load constant 23 kg.
    """
    put(story, "G-003", "CASE-03")
    assert contents(story, case).kg == "18.6"
    assert contents(story, case).packed_kg == "27.6"
    set_packing_list(case=case, by=story.by, pieces=["G-003"], kit=[], tare_grams=14_500)
    assert contents(story, case).lifting is None
    put(story, "E-004", "CASE-03")
    found = contents(story, case)
    assert found.grams == 27_600
    assert found.lifting.title == "28 kg: more than one person lifts."
    assert load_of(case.subject).grams == 27_600


def test_the_pack_page_writes_pieces_kit_and_what_goes_with_them(story, case):
    client = client_of(story.by)
    page = text_of(client.get(at(story, "CASE-03/pack/")))
    assert re.findall(r'name="goes_with" value="([^"]+)"', page) == [
        "E-004|foot switch", "E-004|cover",
    ]  # fmt: skip
    once = re.search(r'name="once" value="(\w+)"', page)[1]
    typed = {
        "pieces": ["G-003", "E-004"], "goes_with": "E-004|foot switch", kit_field(page, 0): "6",
        "complete": "on", "also": "a-007", "once": once,
    }  # fmt: skip
    answer = client.post(at(story, "CASE-03/pack/"), typed, follow=True)
    page = text_of(answer)
    assert "Packed: 3 pieces. Kit: 6 of 8 speaker lead, 3 m; 12 battery, 9 V." in page
    assert "2 of 2 that belong in it, 1 that does not" in page
    assert Event.objects.get(subject__code="E-004", kind="moved").words == "Without cover."


def test_a_wrong_code_is_refused_by_its_field_and_the_ticks_stay(story, case):
    lead = f"kit_{KitLine.objects.get(place=case, what='speaker lead, 3 m').pk}"
    typed = {"pieces": ["G-003"], "goes_with": "E-004|cover", lead: "6", "also": "A-999"}
    page = text_of(client_of(story.by).post(at(story, "CASE-03/pack/"), typed), 422)
    assert "No such piece: A-999." in page
    assert 'value="G-003" checked' in page
    assert 'value="E-004|cover" checked' in page
    assert f'name="{lead}" value="6"' in page
    assert not Event.objects.filter(kind="noted").exists()


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ({"kit": "speaker leads"}, "Say how many first, as in '8 leads': speaker leads"),
        ({"kit": "8 lead\n2 lead"}, "On two lines: lead."),
        ({"pieces": "G-003 Z-1"}, "No such piece: Z-1."),
    ],
)
def test_a_packing_list_that_cannot_be_read_says_so(story, case, typed, said):
    page = text_of(client_of(story.by).post(at(story, "CASE-03/packing-list/"), typed), 422)
    assert said in page
    assert contents(story, case).right == 0
    assert len(contents(story, case).kit) == 2


def test_the_packing_list_comes_back_as_it_was_typed_and_keeps_counts(story, case):
    pack(case=case, by=story.by, packed=Packed((), kit={"speaker lead, 3 m": 6}))
    client = client_of(story.by)
    page = text_of(client.get(at(story, "CASE-03/packing-list/")))
    assert "8 speaker lead, 3 m\n12 battery, 9 V" in page
    typed = {"pieces": "g-003\nA-007", "kit": "10 speaker lead, 3 m", "tare": "15.25", "size": ""}
    client.post(at(story, "CASE-03/packing-list/"), typed)
    found = contents(story, case)
    assert [one.piece.code for one in found.belonging] == ["A-007", "G-003"]
    assert [(str(line), line.there) for line in found.kit] == [("10 speaker lead, 3 m", 6)]
    assert found.tare_grams == 15_250


def test_the_page_says_who_saw_the_case_when_and_how_sure(story, case):
    told = Telling(source="told", happened="2026-03-02")
    actions.sight(
        collection=story.collection, by=story.by, code="CASE-03", at=story.room.code, telling=told
    )
    page = text_of(client_of(story.by).get(at(story, "CASE-03/")))
    seen = page.split("Where, and how sure")[1].split("</section>")[0]
    assert "Hafenhalle" in seen
    assert story.by.name in seen
    assert "told" in seen


def test_a_viewer_sees_neither_packing_nor_a_case_in_a_private_place(story, case, viewer_client):
    assert viewer_client.get(at(story, "CASE-03/pack/")).status_code == 403
    assert viewer_client.post(at(story, "CASE-03/pack/"), {"pieces": "G-003"}).status_code == 403
    put(story, "CASE-03", story.home.code)
    assert "CASE-03" not in text_of(viewer_client.get(at(story, "cases/")))
    assert "speaker lead" not in text_of(viewer_client.get(at(story, "CASE-03/")))


def test_the_list_of_cases_asks_the_same_number_of_queries_for_one_and_for_many(
    story, case, django_assert_num_queries
):
    client = client_of(story.by)
    with django_assert_num_queries(7):
        client.get(at(story, "cases/"))
    for number in range(5):
        actions.add_place(
            collection=story.collection, by=story.by, name=f"Case {number}", kind="case"
        )
    with django_assert_num_queries(7):
        page = text_of(client.get(at(story, "cases/")))
    assert page.count('<th scope="row">') == 6
    assert page.count("<b>two people</b>") == 1  # the one case with something in it


def test_one_case_asks_a_fixed_number_of_queries(story, case, django_assert_max_num_queries):
    for code in ("G-003", "E-004", "A-007"):
        put(story, code, "CASE-03")
    client = client_of(story.by)
    with django_assert_max_num_queries(17):
        text_of(client.get(at(story, "CASE-03/")))


def test_packing_a_case_that_was_not_found_finds_it(story, case):
    actions.not_found(
        collection=story.collection, by=story.by, code=case.code, looked_at=case.inside.code
    )
    pack(case=case, by=story.by, packed=Packed(("G-003",)))
    case.subject.state.refresh_from_db()
    assert case.subject.state.standing == "held"
    assert not Event.objects.filter(kind="asked").exists()


@pytest.mark.parametrize("typed", ["", "?q=case"])
def test_a_case_is_not_offered_itself_to_stand_in(story, case, typed):
    inner = actions.add_place(
        collection=story.collection, by=story.by, name="Case in it", kind="case", code="CASE-77",
        inside=case,
    )  # fmt: skip
    put(story, "G-003", case.code)
    put(story, "G-003", inner.code)
    path = f"find/{typed}&of={case.code}" if typed else f"of/{case.code}/move/"
    page = text_of(client_of(story.by).get(at(story, path)))
    offered = set(re.findall(r'name="to" value="([^"]+)"', page))
    assert not offered & {case.code, inner.code}
    for_piece = text_of(client_of(story.by).get(at(story, "of/G-003/move/")))
    assert case.code in re.findall(r'name="to" value="([^"]+)"', for_piece)

"""Matching through the pages: only what was tested alike, within tolerance, conserved, printed."""

import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra.django import TestCase

from collection.catalogue.actions import add_circuit, add_piece
from collection.ledger.models import Event, State
from collection.ledger.telling import Telling
from collection.stock import actions, queries
from collection.stock.counting import balance
from collection.stock.fitting import socket_of
from collection.stock.matching import actions as matching
from collection.stock.matching import pages
from collection.stock.matching import queries as loose
from collection.stock.models import Part
from registry import clock
from registry.access.roles import Role
from tests.builders import a_member, client_of
from tests.stock.loose import READ, a_slip, a_tested_lot, with_slips
from tests.stock.shelves import Desk, a_desk, heads, output_tubes


@pytest.fixture
def desk(db):
    """A collection with two heads that take a pair of EL34 each."""
    found = a_desk()
    heads(found, "A-007", "A-012")
    return found


@pytest.fixture
def lot(desk):
    """Eight EL34 tested for show, five of them with slips."""
    found = a_tested_lot(desk, output_tubes(desk), brand="Ostrow", drawer="3")
    with_slips(desk, found)
    return found


def today(desk: Desk) -> dict[str, object]:
    """The arguments of an act that happens now; an undated one would stand before everything."""
    day = clock.today(desk.member.collection.zone_info).isoformat()
    return {**desk.who, "telling": Telling(day)}


def page_of(desk: Desk, rest: str = "", **query) -> str:
    return client_of(desk.member).get(desk.url(f"matching/{rest}"), query).content.decode()


def counts(lot) -> dict[str, int]:
    return dict(State.objects.get(subject=lot.subject).detail.get("counts", []))


def group_of(desk: Desk):
    return loose.groups(loose.loose_tubes(desk.member.collection))[0]


def make_pairs(desk: Desk) -> list[Part]:
    proposal = pages.sets_of(group_of(desk), size=2)
    return matching.make_sets(
        **desk.who, group=group_of(desk), sets=proposal["proposal"].sets, rule=proposal["rule"]
    )


def test_a_tube_with_a_slip_gets_the_next_number_of_its_lot(desk, lot):
    codes = [one.part.code for one in loose.loose_tubes(desk.member.collection)]
    assert codes == [f"{lot.code}-{n:02d}" for n in range(1, 6)]
    assert counts(lot) == {"tested:show": 8}


def test_a_slip_is_typed_and_the_next_one_stands_as_last_time(desk, lot):
    client = client_of(desk.member)
    typed = {"tester": "bench tester", "plate_volts": "250", "screen_volts": "250",
             "grid_volts": "13.5", "ma": "97", "gm": "10.85", "gm_unit": "ma-v",
             "grade": "show"}  # fmt: skip
    answer = client.post(desk.url(f"matching/slip/{lot.code}/"), typed)
    assert answer.status_code == 302
    written = Event.objects.of(desk.member.collection).filter(kind="slip_noted").last()
    assert written.facts["sections"] == [["", "97", "10850", ""]]  # 1 mA/V is 1000 µmho
    page = client.get(answer["Location"]).content.decode()
    assert re.search(r'name="plate_volts" value="250"', page)
    assert "value=" not in re.search(r'<input[^>]*name="ma"[^>]*>', page)[0]


@pytest.mark.parametrize(
    ("typed", "asked"),
    [
        ({"gm": "11.3", "gm_unit": "umho"}, "Did you mean 11300?"),
        ({"ma": "960"}, "960 mA is ten times the others of the lot. Did you mean 96?"),
    ],
)
def test_an_odd_slip_is_asked_about(desk, lot, typed, asked):
    sent = {"tester": "bench tester", "plate_volts": "250", "screen_volts": "250",
            "grid_volts": "13.5", "ma": "97", "gm": "10850", "grade": "show",
            "gm_unit": "umho"}  # fmt: skip
    answer = client_of(desk.member).post(desk.url(f"matching/slip/{lot.code}/"), sent | typed)
    assert answer.status_code == 422
    assert asked in answer.content.decode()


def test_slips_of_another_tester_or_other_volts_stand_in_a_group_of_their_own(desk, lot):
    with_slips(desk, lot, {"97": "10850"}, tester="other tester")
    with_slips(desk, lot, {"95": "10700"}, plate_volts="290")
    page = page_of(desk)
    assert page.count("one alone") == 2
    assert page.count(">Sets<") == 1
    assert "Two testers, even of one model, need not agree" in page


def test_the_same_tester_spelt_otherwise_is_the_same(desk, lot):
    with_slips(desk, lot, {"97": "10850"}, tester="Bench  Tester")
    assert len(group_of(desk).tubes) == 6


def test_a_page_proposes_pairs_their_spread_and_who_is_left(desk, lot):
    """(98 − 96)/98 = 2.0 %, (10900 − 10800)/10900 = 0.9 %; (71 − 70)/71 = 1.4 %, 1.1 %."""
    page = page_of(desk, f"group/{lot.code}-01/", size="2")
    assert "Sets that can be made <small>2</small>" in page
    for spread in ("2.0 %", "0.9 %", "1.4 %", "1.1 %"):
        assert f'<td class="num">{spread}</td>' in page
    left = page[page.index("Left over") :]
    assert f"{lot.code}-05" in left
    assert f"{lot.code}-01" not in left


def test_made_sets_get_the_next_codes_of_the_lot_and_keep_their_readings(desk, lot):
    actions.issue(**today(desk), lot=lot, units=2, grade="show", piece="A-007", position="output",
                  part_code="OS-14")  # fmt: skip
    client, url = client_of(desk.member), desk.url(f"matching/group/{lot.code}-01/")
    keys = [one.key for one in pages.sets_of(group_of(desk), size=2)["proposal"].sets]
    assert client.post(url, {"size": "2", "sets": keys}).status_code == 302
    made = Part.objects.of(desk.member.collection).filter(units=2).exclude(code="OS-14")
    assert [part.code for part in made] == ["OS-15", "OS-16"]
    facts = (
        Event.objects.of(desk.member.collection).get(kind="matched", subject__code="OS-16").facts
    )
    assert facts["readings"] == [
        [f"{lot.code}-01", "98", "10900"],
        [f"{lot.code}-02", "96", "10800"],
    ]
    assert facts["conditions"] == "bench tester, plate 250 V, screen 250 V, grid −13.5 V"
    assert counts(lot) == {"fitted": 2, "tested:show": 6}


def test_a_set_sent_twice_is_made_once(desk, lot):
    client, url = client_of(desk.member), desk.url(f"matching/group/{lot.code}-01/")
    keys = [one.key for one in pages.sets_of(group_of(desk), size=2)["proposal"].sets][:1]
    client.post(url, {"size": "2", "sets": keys, "once": "ab"})
    client.post(url, {"size": "2", "sets": keys, "once": "ab"})
    assert Event.objects.of(desk.member.collection).filter(kind="matched").count() == 1


def test_a_set_that_is_no_longer_possible_is_said_and_not_made(desk, lot):
    url = desk.url(f"matching/group/{lot.code}-05/")
    sent = {"size": "2", "sets": [f"{lot.code}-01 {lot.code}-05"]}
    answer = client_of(desk.member).post(url, sent)
    assert answer.status_code == 422
    assert "look again" in answer.content.decode()


def test_a_matched_set_is_issued_by_its_code_and_its_tubes_are_no_one_elses(desk, lot):
    made = make_pairs(desk)
    shelf = queries.shelf(desk.member.collection)
    offered = socket_of(shelf, "A-007", "output").sets
    assert {one.part for one in offered if one.part} == {part.code for part in made}
    loose_bucket = next(one for one in offered if not one.part)
    assert (loose_bucket.bucket, loose_bucket.left) == ("tested:show", 1)  # 8 − 4 − 1 coded − 2
    client = client_of(desk.member)
    client.post(desk.url("change/A-007/output/"), {"new": offered[0].key})
    assert State.objects.get(subject=made[0].subject).detail["fitted_in"] == "A-007"
    assert counts(lot) == {"fitted": 2, "tested:show": 6}


def test_a_surviving_mate_returns_to_matching_and_may_be_matched_again(desk, lot):
    first, _ = make_pairs(desk)
    actions.issue(**today(desk), lot=lot, units=2, grade="tested:show", piece="A-007",
                  position="output", part_code=first.code)  # fmt: skip
    actions.die(**today(desk), part=first, hours=140, how="V5 went soft")
    assert f"{first.code}" in page_of(desk)[page_of(desk).index("does a mate live on") :]
    tubes = loose.tubes_of(first)
    sent = {"tubes": [tubes[0].code], "grade": "show", "hours": "140", "because": "V5 went soft"}
    answer = client_of(desk.member).post(desk.url(f"matching/apart/{first.code}/"), sent)
    assert answer.status_code == 302
    assert counts(lot) == {"dead": 1, "pulled:show": 1, "tested:show": 6}
    page = page_of(desk)
    mates = page[page.index("Loose mates") :]
    assert f"{tubes[0].code}</a> EL34, 140 h HT" in mates
    assert "does a mate live on" not in page
    again = a_slip(lot, "54", "9800")
    matching.note_slip(**desk.who, lot=lot, slip=again, tube=tubes[0])
    (made,) = make_pairs(desk)
    state = State.objects.get(subject=made.subject).detail
    assert (state["grade"], state["hours_before"]) == ("pulled:show", "140")
    assert counts(lot) == {"dead": 1, "pulled:show": 2, "tested:show": 5}


def test_a_mate_of_a_set_that_never_had_codes_gets_one_now(desk, lot):
    old = actions.issue(**today(desk), lot=lot, units=2, grade="show", piece="A-012",
                        position="output", part_code="OS-08")  # fmt: skip
    actions.die(**today(desk), part=old, hours=150)
    page = page_of(desk, "apart/OS-08/")
    assert 'max="1"' in page
    sent = {"unnamed": "1", "grade": "show"}  # its hours are those of the set
    client_of(desk.member).post(desk.url("matching/apart/OS-08/"), sent)
    mates = [one for one in loose.loose_tubes(desk.member.collection) if one.mate]
    assert [(one.part.code, one.state.hours_before) for one in mates] == [(f"{lot.code}-06", "150")]


def test_a_set_in_a_piece_does_not_come_apart(desk, lot):
    actions.issue(**today(desk), lot=lot, units=2, grade="show", piece="A-007", position="output",
                  part_code="OS-14")  # fmt: skip
    sent = {"unnamed": "1", "grade": "show"}
    answer = client_of(desk.member).post(desk.url("matching/apart/OS-14/"), sent)
    assert answer.status_code == 422
    assert "OS-14 sits in A-007; take it out first." in answer.content.decode()


def test_tolerances_are_the_collections_own(desk, lot):
    assert "nobody has chosen here yet" in page_of(desk)
    sent = {"current_percent": "1.5", "gm_percent": "5", "basis": "what our heads bear"}
    client_of(desk.member).post(desk.url("matching/tolerances/"), sent)
    page = page_of(desk)
    assert "<b>1.5 %</b> in current" in page
    assert "What our heads bear; chosen by Ines Holt" in page
    assert len(pages.sets_of(group_of(desk), size=2)["proposal"].sets) == 1


def test_a_tolerance_that_is_none_is_refused_beside_its_field(desk, lot):
    sent = {"current_percent": "0", "gm_percent": "5", "basis": "x"}
    answer = client_of(desk.member).post(desk.url("matching/tolerances/"), sent)
    assert answer.status_code == 422


@pytest.mark.parametrize(
    ("sets", "words"),
    [
        (("output",) * 4, "drives four as one set: four alike"),
        (("left", "left", "right", "right"), "drives two pairs by themselves"),
    ],
)
def test_whether_two_pairs_do_for_four_depends_on_the_circuit(desk, lot, sets, words):
    places = [{"name": f"V{n}", "fits": ["EL34"], "matched_with": name}
              for n, name in enumerate(sets, 4)]  # fmt: skip
    add_circuit(collection=desk.member.collection, name="HB-100", positions=places)
    page = page_of(desk, f"group/{lot.code}-01/", size="4")
    assert "<b>HB-100</b>" in page
    assert words in page


def test_more_coded_tubes_than_the_lot_counts_become_a_question(desk):
    lot = a_tested_lot(desk, output_tubes(desk), units=1)
    with_slips(desk, lot, {"98": "10900", "96": "10800"})
    asked = Event.objects.of(desk.member.collection).get(kind="asked")
    expected = f"2 tubes of {lot.code} have codes as tested:show, the lot counts 1."
    assert asked.facts["question"] == expected


def test_labels_say_code_type_readings_and_day(desk, lot):
    made = make_pairs(desk)
    page = page_of(desk, "labels/", set=made[0].code)
    assert page.count('<b class="typed">') == 1
    assert f'<b class="typed">{made[0].code}</b>' in page
    assert "EL34" in page
    assert "µmho" in page
    assert "bench tester, plate 250 V" in page
    assert page_of(desk, "labels/").count('<b class="typed">') == 2


def test_a_viewer_looks_and_makes_nothing(desk, lot):
    viewer = Desk(a_member(desk.member.collection, role=Role.VIEWER))
    client = client_of(viewer.member)
    assert client.get(desk.url("matching/")).status_code == 200
    assert "Make these sets" not in page_of(viewer, f"group/{lot.code}-01/")
    for rest in (f"slip/{lot.code}/", f"group/{lot.code}-01/", "tolerances/"):
        assert client.post(desk.url(f"matching/{rest}"), {}).status_code == 403
    assert not Event.objects.of(desk.member.collection).filter(kind="matched").exists()


def test_the_page_takes_as_many_queries_for_many_tubes_as_for_few(
    desk, lot, django_assert_max_num_queries
):
    with_slips(desk, lot, {str(40 + n): "9000" for n in range(12)})
    client = client_of(desk.member)
    with django_assert_max_num_queries(12):
        client.get(desk.url("matching/"))


# -- conservation ----------------------------------------------------------------------------
steps = st.lists(
    st.one_of(
        st.tuples(st.just("slip"), st.sampled_from(sorted(READ.items()))),
        st.tuples(st.just("match"), st.sampled_from([2, 4])),
        st.tuples(st.just("issue"), st.booleans()),
        st.tuples(st.just("pull"), st.sampled_from(["show", "bench"])),
        st.tuples(st.just("die"), st.just(0)),
        st.tuples(st.just("apart"), st.sampled_from(["show", "bench"])),
        st.tuples(st.just("again"), st.sampled_from(sorted(READ.items()))),
    ),
    max_size=12,
)


class Story:
    """Random acts on one lot, each through the action a page calls."""

    def __init__(self) -> None:
        self.desk = a_desk()
        add_piece(**self.desk.who, code="A-007", kind="amplifier")
        self.lot = a_tested_lot(self.desk, output_tubes(self.desk), units=6)
        self.collection = self.desk.member.collection

    def do(self, what: str, how) -> None:
        getattr(self, f"_{what}")(how)

    def _sets(self, *, fitted: bool):
        rows = Part.objects.of(self.collection).filter(units__gte=2)
        found = [(part, loose.state_of(part)) for part in rows.select_related("subject__state")]
        return [(part, state) for part, state in found if bool(state.fitted_in) == fitted]

    def _slip(self, read) -> None:
        matching.note_slip(**self.desk.who, lot=self.lot, slip=a_slip(self.lot, *read))

    def _again(self, read) -> None:
        for one in loose.loose_tubes(self.collection)[:1]:
            slip = a_slip(self.lot, *read)
            matching.note_slip(**self.desk.who, lot=self.lot, slip=slip, tube=one.part)

    def _match(self, size) -> None:
        for group in loose.groups(loose.loose_tubes(self.collection)):
            page = pages.sets_of(group, size=size)
            matching.make_sets(
                **self.desk.who, group=group, sets=page["proposal"].sets, rule=page["rule"]
            )

    def _issue(self, sealed) -> None:
        for part, state in self._sets(fitted=False)[:1]:
            bucket = state.grade if ":" in (state.grade or "") else f"pulled:{state.grade}"
            actions.issue(**today(self.desk), lot=self.lot, units=part.units, grade=bucket,
                          piece="A-007", position="output", part_code=part.code)  # fmt: skip

    def _pull(self, grade) -> None:
        for part, _ in self._sets(fitted=True)[:1]:
            actions.pull(**today(self.desk), part=part, hours=60, grade=grade)

    def _die(self, _) -> None:
        for part, _state in self._sets(fitted=True)[:1]:
            actions.die(**today(self.desk), part=part, hours=60)

    def _apart(self, grade) -> None:
        for part, state in self._sets(fitted=False)[:1]:
            if state.grade != "apart":
                tubes = loose.tubes_of(part)[:1]
                matching.part_set(**self.desk.who, part=part, tubes=tubes,
                                  unnamed=0 if tubes else 1, grade=grade)  # fmt: skip


class MatchingConserves(TestCase):
    """Whatever is matched, fitted, lost and parted, the lot's line comes out."""

    @settings(max_examples=25, deadline=None)
    @given(steps)
    def test_received_is_the_sum_of_its_buckets_with_matching_too(self, sequence):
        story = Story()
        for what, how in sequence:
            story.do(what, how)
        found = queries.count_of(queries.lot_named(story.collection, story.lot.code))
        line = balance(found.counts)
        assert line.received == 6
        assert sum(units for _, units in line.terms) == 6
        tubes = Part.objects.of(story.collection).filter(units=1).select_related("subject__state")
        belongs = [loose.state_of(tube).set_of for tube in tubes]
        sizes = {p.code: p.units for p in Part.objects.of(story.collection).filter(units__gte=2)}
        assert all(belongs.count(code) <= sizes[code] for code in sizes)

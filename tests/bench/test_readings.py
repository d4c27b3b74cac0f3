"""Readings through the pages: as the circuit sets its bias, odd ones asked, like ones compared."""

import re

import pytest

from collection.bench.readings import actions, queries
from collection.catalogue.actions import add_circuit
from collection.core.events.measured import SocketRead
from collection.ledger.models import Event
from collection.ledger.telling import Telling
from collection.stock import actions as stock
from registry import clock
from tests.bench.builders import a_piece

PAIR = (
    {"name": "V4", "does": "output", "fits": ["EL34"], "matched_with": "output"},
    {"name": "V5", "does": "output", "fits": ["EL34"], "matched_with": "output"},
)


def a_head(member, *, bias="own", code="A-907", **drawn):
    """An amplifier with two output sockets; 460 V, fed with 230 V."""
    drawn = {"mains_volts": 230, "plate_volts": 460, "positions": PAIR} | drawn
    circuit = add_circuit(collection=member.collection, name=f"HB-{code}", bias=bias, **drawn)
    return a_piece(member, code=code, circuit=circuit)


def url(piece, rest=""):
    return f"/{piece.collection.slug}/bench/readings/{piece.code}/{rest}"


def measured(member, piece, v4, v5, **how):
    """A reading at the cathode of both sockets."""
    sockets = [SocketRead(p, "EL34", "", "460", "", ma) for p, ma in (("V4", v4), ("V5", v5))]
    how = {"mains_volts": "231", "minutes_warm": 25, "method": "probe"} | how
    return actions.measure(
        collection=member.collection, by=member, code=piece.code, bias="own", sockets=sockets, **how
    )


def sent(**typed):
    """A form as it is typed; the usual reading of a good pair unless said."""
    usual = {"mains_volts": "231", "minutes_warm": "25", "plate_volts": "460", "meter": "2",
             "method": "probe", "ma_0": "38", "ma_1": "37"}  # fmt: skip
    return usual | typed


def _fitted(member, piece, code):
    """A pair of a lot of four, fitted under a code."""
    who = {"collection": member.collection, "by": member}
    kind = stock.add_type(collection=member.collection, code="EL34", set_size=2)
    lot = stock.add_lot(**who, type=kind)
    stock.receive(**who, lot=lot, units=4)
    return stock.issue(**who, lot=lot, units=2, piece=piece, position="output", part_code=code)


def entries(piece):
    return Event.objects.filter(subject=piece.subject, kind="measured")


def test_a_pair_with_its_own_trimmers_is_written_socket_by_socket(technician, technician_client):
    piece = a_head(technician)
    answer = technician_client.post(url(piece, "add/"), sent())
    assert answer.status_code == 302
    page = technician_client.get(answer["Location"]).content.decode()
    assert re.search(r"<b>61 %</b></td><td class=\"num\">70 %", page)
    assert "25 W, design-centre" in page
    assert "Philips/Mullard EL34" in page
    assert "screen share 13 %: estimated" in page


def test_a_reading_ten_times_its_mate_is_asked_and_nothing_is_lost(technician, technician_client):
    piece = a_head(technician)
    answer = technician_client.post(url(piece, "add/"), sent(ma_1="375", words="after the freight"))
    page = answer.content.decode()
    assert answer.status_code == 422
    assert "375 mA is ten times V4. Did you mean 37.5?" in page
    assert 'name="use" value="ma_1=37.5"' in page
    assert 'name="sure" value="ma_1=375"' in page
    assert "One number looks wrong." in page
    assert 'value="375"' in page
    assert "after the freight" in page
    assert not entries(piece).exists()


def test_one_press_uses_what_was_meant(technician, technician_client):
    piece = a_head(technician)
    typed = sent(ma_1="375", use="ma_1=37.5")
    assert technician_client.post(url(piece, "add/"), typed).status_code == 302
    assert [row[5] for row in entries(piece).get().facts["sockets"]] == ["38", "37.5"]


def test_an_odd_reading_stands_when_somebody_says_it_is_so(technician, technician_client):
    piece = a_head(technician)
    typed = sent(ma_1="375", sure="ma_1=375")
    assert technician_client.post(url(piece, "add/"), typed).status_code == 302
    facts = entries(piece).get().facts
    assert (facts["sockets"][1][5], facts["sure"]) == ("375", ["V5"])


def test_what_was_said_to_be_so_holds_for_that_value_only(technician, technician_client):
    piece = a_head(technician)
    typed = sent(ma_1="390", sure="ma_1=375")
    assert technician_client.post(url(piece, "add/"), typed).status_code == 422


def test_two_odd_ones_are_asked_one_after_the_other(technician, technician_client):
    piece = a_head(technician)
    typed = sent(ma_1="375", mains_volts="2310", use="ma_1=37.5")
    page = technician_client.post(url(piece, "add/"), typed).content.decode()
    assert "2310 V is ten times its mains. Did you mean 231?" in page
    assert 'value="37.5"' in page
    typed |= {"ma_1": "37.5", "use": "mains_volts=231"}
    assert technician_client.post(url(piece, "add/"), typed).status_code == 302


def test_enter_saves_and_answers_no_question(technician, technician_client):
    piece = a_head(technician)
    page = technician_client.post(url(piece, "add/"), sent(ma_1="375")).content.decode()
    form = page[page.index("readings/A-907/add/") :]
    assert form.index('<button class="unseen"') < form.index('name="use"')


def test_a_shared_cathode_resistor_halves_its_current(technician, technician_client):
    """10.4 V across 130 Ω: 80 mA, 40 each; worked by hand."""
    piece = a_head(technician, bias="cathode", code="A-903", plate_volts=310)
    typed = sent(ma_0="", ma_1="", plate_volts="310", shared_volts="10.4", shared_ohms="130",
                 method="resistor")  # fmt: skip
    assert technician_client.post(url(piece, "add/"), typed).status_code == 302
    reading = queries.latest([piece])["A-903"]
    assert [figure.current_ma for figure in reading.figures] == pytest.approx([40, 40])
    assert reading.figures[0].idle.watts == pytest.approx((310 - 10.4) * 40 * 0.87 / 1000)


def test_fixed_bias_asks_for_the_one_control(technician, technician_client):
    piece = a_head(technician, bias="fixed", code="A-906")
    page = technician_client.get(url(piece, "add/")).content.decode()
    assert 'name="bias_volts"' in page
    assert 'name="shared_volts"' not in page
    assert technician_client.post(url(piece, "add/"), sent(bias_volts="36")).status_code == 302
    assert entries(piece).get().facts["bias_volts"] == "36"


def test_an_empty_form_says_that_nothing_was_read(technician, technician_client):
    piece = a_head(technician)
    answer = technician_client.post(url(piece, "add/"), sent(ma_0="", ma_1=""))
    assert answer.status_code == 422
    assert "type what the meter says" in answer.content.decode()


def test_cautions_stand_between_the_words_before_and_the_fields(technician, technician_client):
    page = technician_client.get(url(a_head(technician), "add/")).content.decode()
    words, lethal = page.index("while it is dead and cold"), page.index("they stay after the plug")
    method, now_on = page.index('name="method"'), page.index("Now HT is on")
    assert words < lethal < method < now_on < page.index('name="ma_0"')


def test_readings_are_never_filled_in_but_their_conditions_are(technician, technician_client):
    piece = a_head(technician)
    measured(technician, piece, "38", "37", meter="2")
    page = technician_client.get(url(piece, "add/")).content.decode()
    assert re.search(r'name="meter" value="2"', page)
    assert re.search(r'name="minutes_warm" value="25"', page)
    for name in ("ma_0", "ma_1", "plate_volts", "mains_volts"):
        assert "value=" not in re.search(rf'<input[^>]*name="{name}"[^>]*>', page)[0]


def test_readings_at_other_mains_volts_say_that_they_do_not_compare(technician, technician_client):
    piece = a_head(technician)
    measured(technician, piece, "41", "40", mains_volts="240", telling=Telling("2026-03-01"))
    measured(technician, piece, "39", "38", mains_volts="229", telling=Telling("2026-05-01"))
    measured(technician, piece, "38", "37", telling=Telling("2026-07-01"))
    page = technician_client.get(url(piece)).content.decode()
    assert "not comparable:</span> mains 240 V" in page
    assert page.count("read alike") == 1
    assert page.count('class="full"') == 4  # both sockets of the two that compare
    assert "V4 41 mA, 1 Mar 2026 (not comparable)" in page


def test_a_reading_of_a_set_stands_in_its_history_too(technician, technician_client):
    piece = a_head(technician)
    _fitted(technician, piece, "OS-14")
    technician_client.post(url(piece, "add/"), sent())
    assert entries(piece).get().names == {"part-1": "OS-14"}
    page = technician_client.get(f"/{piece.collection.slug}/stock/part/OS-14/").content.decode()
    assert "V4 38 mA, V5 37 mA" in page


def test_latest_takes_the_newest_by_happening_in_a_fixed_number_of_queries(
    technician, django_assert_num_queries
):
    heads = [a_head(technician, code=f"A-91{n}") for n in range(4)]
    for head in heads:
        measured(technician, head, "38", "37", telling=Telling("2026-07-01"))
        measured(technician, head, "44", "43", telling=Telling("2025-07-01"))
    with django_assert_num_queries(2):
        found = queries.latest(heads)
    assert {one.figure("V4").read.ma for one in found.values()} == {"38"}
    assert set(found) == {head.code for head in heads}


def test_the_list_of_readings_takes_as_many_queries_for_many_as_for_one(
    technician, technician_client, django_assert_max_num_queries
):
    for n in range(5):
        measured(technician, a_head(technician, code=f"A-92{n}"), "38", "37")
    with django_assert_max_num_queries(10):
        page = technician_client.get(f"/{technician.collection.slug}/bench/readings/")
    assert page.content.decode().count("V4 38 mA, 61 % (70)") == 5


def test_a_viewer_reads_them_and_writes_none(technician, viewer_client):
    piece = a_head(technician)
    measured(technician, piece, "38", "37")
    assert "V4" in viewer_client.get(url(piece)).content.decode()
    assert viewer_client.get(url(piece, "add/")).status_code == 403
    assert viewer_client.post(url(piece, "add/"), sent()).status_code == 403
    assert entries(piece).count() == 1


def test_a_piece_without_a_circuit_says_what_is_missing(technician, technician_client):
    piece = a_piece(technician, code="A-930")
    assert "Name its circuit" in technician_client.get(url(piece)).content.decode()
    assert (
        "no sockets in the register" in technician_client.get(url(piece, "add/")).content.decode()
    )


def test_the_chart_of_a_piece_shows_its_latest_reading(technician, technician_client):
    piece = a_head(technician)
    _fitted(technician, piece, "OS-14")
    technician_client.post(url(piece, "add/"), sent())
    page = technician_client.get(f"/{piece.collection.slug}/pieces/{piece.code}/").content.decode()
    assert "own bias</span><strong>38 mA</strong>61 % of 25 W" in page
    assert "460 V, mains 231 V, 25 min warm" in page


def test_a_reading_of_tubes_that_are_out_is_not_shown_on_the_chart(technician, technician_client):
    piece = a_head(technician)
    old = _fitted(technician, piece, "OS-14")
    technician_client.post(url(piece, "add/"), sent())
    today = Telling(clock.today(piece.collection.zone_info).isoformat())
    who = {"collection": technician.collection, "by": technician, "telling": today}
    stock.change(**who, piece=piece, position="output", out=old, became="show", lot=old.lot,
                 units=2, grade="sealed", part_code="OS-17")  # fmt: skip
    page = technician_client.get(f"/{piece.collection.slug}/pieces/{piece.code}/").content.decode()
    assert "OS-17" in page
    assert "38 mA</strong>" not in page

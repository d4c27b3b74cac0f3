"""Cautions stand between the words and the fields of an act that can hurt.

That amplifiers hold lethal charge after they are unplugged, that ribbons do not take phantom
power and output stages need their load: common practice, no source.
"""

import pytest

from collection.bench import actions
from collection.bench.caution import COLD, LEADS, LETHAL, OLD_PARTS, RIBBON, cautions
from collection.core.state import State, Tag
from tests.bench.builders import a_piece, address

pytestmark = pytest.mark.django_db
REST = State()


def titles(piece, kind, state=REST):
    return [caution.title for caution in cautions(piece, kind, state)]


@pytest.mark.parametrize("kind", ["repaired", "inspected", "safety_tested", "tag_lifted"])
def test_an_amplifier_warns_of_its_voltages_before_the_first_field(
    technician, technician_client, kind
):
    amp = a_piece(technician)
    actions.tag_out(collection=amp.collection, by=technician, code=amp.code, reason="smoke")
    page = technician_client.get(address(amp, kind)).content.decode()
    form = page[page.index('<form class="fields"') :]
    label = "Its result" if kind == "tag_lifted" else "<label"
    assert form.index(LETHAL.title) < form.index(label)
    assert page.index("<h1") < page.index(LETHAL.title)


def test_the_check_that_lifts_a_tag_is_named_before_the_caution_and_its_result_after(
    technician, technician_client
):
    amp = a_piece(technician)
    actions.tag_out(collection=amp.collection, by=technician, code=amp.code, reason="smoke")
    page = technician_client.get(address(amp, "tag_lifted")).content.decode()
    order = [page.index(words) for words in ("Which check was done", LETHAL.title, "Its result")]
    assert order == sorted(order)


def test_an_effect_warns_only_when_it_is_fed_from_the_mains(technician):
    battery = a_piece(technician, kind="effect")
    echo = a_piece(technician, kind="effect", mains_volts=230)
    assert LETHAL.title not in titles(battery, "repaired")
    assert LETHAL.title in titles(echo, "repaired")


def test_old_parts_are_named_unless_the_piece_is_surely_newer(technician):
    assert OLD_PARTS.title in titles(a_piece(technician, year="1965"), "repaired")
    assert OLD_PARTS.title in titles(a_piece(technician), "repaired")
    assert OLD_PARTS.title not in titles(a_piece(technician, year="2004"), "repaired")


def test_the_load_is_said_with_its_ohms(technician):
    amp = a_piece(technician, load_ohms="8.0")
    amp.refresh_from_db()
    assert "Never run it without its loudspeaker load of 8 Ω." in titles(amp, "inspected")


def test_a_ribbon_warns_of_48_volts_and_another_microphone_does_not(technician):
    ribbon = a_piece(technician, kind="microphone", family="ribbon")
    moving_coil = a_piece(technician, kind="microphone", family="dynamic")
    assert titles(ribbon, "inspected") == [RIBBON.title]
    assert titles(moving_coil, "inspected") == []


def test_a_cabinet_warns_of_the_wrong_lead_and_a_guitar_of_nothing(technician):
    assert titles(a_piece(technician, kind="cabinet"), "inspected") == [LEADS.title]
    assert titles(a_piece(technician, kind="instrument"), "repaired") == []


def test_a_note_needs_no_caution_and_power_asks_about_the_cold(technician):
    amp = a_piece(technician)
    assert titles(amp, "noted") == []
    assert COLD.title in titles(amp, "inspected")


def test_a_tag_that_hangs_is_said_first(technician):
    tagged = State(tag=Tag("water", "bench check", "ines", 3))
    assert titles(a_piece(technician), "repaired", tagged)[0] == "DO NOT POWER hangs on it."

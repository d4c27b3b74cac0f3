"""Sheets: set down, copied from the last good night, compared, kept from those who only read."""

from datetime import date

import pytest

from collection.bench.sheets import actions, queries
from collection.bench.sheets.pages import page_of
from collection.catalogue.actions import add_design, add_photo
from collection.custody.actions import add_place
from collection.ledger.actions import withdraw
from collection.ledger.errors import LedgerError
from collection.ledger.models import Event
from collection.ledger.telling import Telling
from collection.road.actions import add_show, add_tour, log_show
from registry import clock
from tests.bench.builders import a_piece
from tests.catalogue.photo_samples import drawn, saved

pytestmark = pytest.mark.django_db
SATURDAY = [("volume", "10 o’clock"), ("treble", "1 o’clock"), ("load", "8 Ω")]
SUNDAY = [("volume", "10 o’clock"), ("treble", "2 o’clock"), ("load", "8 Ω")]


def set_down(member, piece, pairs, on="2024-11-23", **how):
    return actions.note_sheet(
        collection=piece.collection, by=member, code=piece.code, sheet=how.pop("sheet",
        "settings_noted"), pairs=pairs, telling=Telling(happened=on), **how,
    )  # fmt: skip


def at(piece, rest=""):
    return f"/{piece.collection.slug}/bench/sheets/{piece.code}/{rest}"


def test_what_is_left_blank_is_not_set_down(technician):
    amp = a_piece(technician)
    event = set_down(technician, amp, [("volume", " 4 "), ("treble", "  ")])
    assert event.facts["settings"] == [["volume", "4"]]


def test_the_form_asks_line_by_line_and_keeps_lines_of_ones_own(technician, technician_client):
    amp = a_piece(technician)
    typed = {"said-volume": "10 o’clock", "said-treble": "2 o’clock", "more-name-0": "echo E-002",
             "more-words-0": "head 2", "words": "Too dark from the balcony."}  # fmt: skip
    answer = technician_client.post(at(amp, "settings/set-down/"), typed)
    assert answer.status_code == 302
    event = Event.objects.get(kind="settings_noted")
    assert event.facts["settings"] == [
        ["volume", "10 o’clock"], ["treble", "2 o’clock"], ["echo E-002", "head 2"]
    ]  # fmt: skip
    assert "Too dark from the balcony." in technician_client.get(at(amp)).content.decode()


def test_an_empty_sheet_and_a_nameless_line_are_sent_back_with_what_was_typed(
    technician, technician_client
):
    amp = a_piece(technician)
    answer = technician_client.post(at(amp, "settings/set-down/"), {})
    assert answer.status_code == 422
    assert "Nothing is set down yet" in answer.content.decode()
    answer = technician_client.post(at(amp, "settings/set-down/"), {"more-words-1": "green lead"})
    assert answer.status_code == 422
    page = answer.content.decode()
    assert "Say what this is." in page
    assert 'value="green lead"' in page
    assert not Event.objects.filter(kind="settings_noted").exists()


def test_the_panel_of_the_design_is_what_is_asked(technician, technician_client):
    design = add_design(
        collection=technician.collection, maker=None, kind="amplifier", name="Harbour 50",
        panel=["input", "presence", "back switch"],
    )  # fmt: skip
    amp = a_piece(technician, design=design)
    page = technician_client.get(at(amp, "settings/set-down/")).content.decode()
    assert page.index("presence") < page.index("back switch") < page.index("cabinet")
    assert "half past 10" in page


def test_a_guitar_has_a_set_up_and_an_amplifier_has_none(technician, technician_client):
    guitar = a_piece(technician, kind="instrument", family="hollow-body guitar")
    page = technician_client.get(at(guitar, "set-up/set-down/")).content.decode()
    for line in ("relief", "action at the 12th", "fret height", "intonation", "tuning"):
        assert line in page
    assert queries.kinds_for(guitar) == ["settings_noted", "set_up"]
    assert queries.kinds_for(a_piece(technician)) == ["settings_noted"]
    assert technician_client.get(at(guitar, "songs/set-down/")).status_code == 404


def test_before_a_ribbon_the_words_about_48_volts_stand(technician, technician_client):
    ribbon = a_piece(technician, kind="microphone", family="ribbon microphone")
    page = technician_client.get(at(ribbon, "settings/set-down/")).content.decode()
    assert page.index("48 V off before a ribbon is patched") < page.index('name="said-48-v"')


@pytest.fixture
def tour(technician):
    return add_tour(
        collection=technician.collection, by=technician, name="Autumn",
        starts_on=date(2024, 11, 1), ends_on=date(2024, 12, 1),
    )  # fmt: skip


def a_show(member, tour, *, number, on):
    hall = add_place(collection=tour.collection, by=member, name=f"Hall {number}", kind="site")
    return add_show(
        collection=tour.collection, by=member, tour=tour, number=number, venue=hall, on=on
    )


def played(member, show, *, pieces=(), troubled=()):
    log_show(
        collection=show.collection, by=member, show=show, pieces=pieces, troubled=troubled,
        telling=Telling(happened=show.on.isoformat()),
    )  # fmt: skip


def test_the_last_good_night_is_the_newest_without_trouble(technician, tour):
    amp = a_piece(technician)
    shows = [a_show(technician, tour, number=n, on=date(2024, 11, 22 + n)) for n in (1, 2)]
    first = set_down(technician, amp, SATURDAY, "2024-11-23", show=shows[0].code)
    second = set_down(technician, amp, SUNDAY, "2024-11-24", show=shows[1].code)
    played(technician, shows[0], pieces=[amp.code])
    assert good_of(amp, technician) == first.sequence
    played(technician, shows[1], troubled=[amp.code])
    assert good_of(amp, technician) == first.sequence
    third = a_show(technician, tour, number=3, on=date(2024, 11, 25))
    played(technician, third, pieces=[amp.code])
    assert good_of(amp, technician) == second.sequence, "the newest before that night's end"


def good_of(piece, member):
    sheets = queries.sheets_of(piece, member)
    good = queries.last_good(sheets, "settings_noted")
    return good and good.event.sequence


def test_without_a_show_no_night_was_good(technician):
    amp = a_piece(technician)
    set_down(technician, amp, SATURDAY)
    assert good_of(amp, technician) is None


def test_tonight_is_like_that_night_in_one_press_and_once(technician, technician_client, tour):
    amp = a_piece(technician)
    today = clock.today(technician.collection.zone_info)
    tonight = a_show(technician, tour, number=9, on=today)
    old = set_down(technician, amp, SATURDAY)
    press = f"/{amp.collection.slug}/bench/sheets/entry/{old.sequence}/again/"
    for _ in range(2):
        assert technician_client.post(press, {"once": "tap"}).status_code == 302
    new = Event.objects.get(kind="settings_noted", sequence__gt=old.sequence)
    assert new.facts == {**old.facts, "show": tonight.code, "like": old.sequence}


def test_only_a_sheet_can_be_copied(technician):
    amp = a_piece(technician)
    entry = Event.objects.get(kind="described")
    with pytest.raises(LedgerError, match="no sheet"):
        actions.copy_sheet(collection=amp.collection, by=technician, code=amp.code, like=entry)


def test_two_nights_say_what_moved_in_words_and_by_a_mark(technician, technician_client):
    amp = a_piece(technician)
    set_down(technician, amp, SATURDAY, "2024-11-23")
    set_down(technician, amp, SUNDAY, "2024-11-24")
    page = technician_client.get(at(amp)).content.decode()
    assert "1 of 3 moved" in page
    assert page.count('<tr class="moved">') == 1
    assert '2 o’clock</span><span class="unseen"> (changed)' in page
    assert page.index("Sat 23 Nov 2024") < page.index("Sun 24 Nov 2024")


def test_two_units_of_a_design_are_laid_side_by_side(technician, technician_client):
    design = add_design(
        collection=technician.collection, maker=None, kind="amplifier", name="Harbour 50"
    )
    one, twin = a_piece(technician, design=design), a_piece(technician, design=design)
    was = set_down(technician, twin, SATURDAY)
    now = set_down(technician, one, SUNDAY)
    chosen = f"compare/?was={was.sequence}&now={now.sequence}"
    page = technician_client.get(at(one, chosen)).content.decode()
    assert "Two units" in page
    assert f'<th scope="col">{twin.code}</th>' in page
    (beside,) = page_of(one, technician).others
    assert [line.name for line in beside.found.lines if line.moved] == ["treble"]


def test_a_sheet_taken_back_is_gone_from_the_page(technician, technician_client):
    amp = a_piece(technician)
    event = set_down(technician, amp, SATURDAY)
    withdraw(collection=amp.collection, by=technician, event=event, because="wrong amplifier")
    assert queries.sheets_of(amp, technician) == []
    address = f"/{amp.collection.slug}/bench/sheets/entry/{event.sequence}/"
    assert technician_client.get(address).status_code == 404


def test_who_only_reads_sees_sheets_and_changes_none(technician, viewer_client):
    amp = a_piece(technician)
    event = set_down(technician, amp, SATURDAY)
    page = viewer_client.get(at(amp))
    assert page.status_code == 200
    assert "Set down a new one" not in page.content.decode()
    assert viewer_client.get(at(amp, "settings/set-down/")).status_code == 403
    press = f"/{amp.collection.slug}/bench/sheets/entry/{event.sequence}/again/"
    assert viewer_client.post(press).status_code == 403
    assert Event.objects.filter(kind="settings_noted").count() == 1


def test_the_photo_of_the_tape_marks_stands_beside_its_sheet(technician, technician_client):
    amp = a_piece(technician)
    event = set_down(technician, amp, SATURDAY)
    photo = add_photo(
        collection=amp.collection, by=technician, subject=amp.subject, entry=event.sequence,
        data=saved(drawn(), "PNG"), caption="tape marks",
    )  # fmt: skip
    page = technician_client.get(at(amp)).content.decode()
    assert f"/photo/{photo.pk}/" in page or f"photos/{photo.pk}/" in page
    assert "The tape marks" in page


def test_set_it_like_this_asks_as_often_for_many_pieces_as_for_one(
    technician, django_assert_num_queries
):
    amps = [a_piece(technician) for _ in range(6)]
    for amp in amps[:5]:
        set_down(technician, amp, SATURDAY)
        set_down(technician, amp, SUNDAY, "2024-11-24")
    with django_assert_num_queries(3):
        found = queries.set_it_like_this([*amps, None])
    assert sorted(found) == sorted(amp.code for amp in amps[:5])
    assert dict(found[amps[0].code].pairs)["treble"] == "2 o’clock"
    with django_assert_num_queries(0):
        assert queries.set_it_like_this([]) == {}


def test_the_page_asks_as_often_for_many_sheets_as_for_two(
    technician, technician_client, django_assert_max_num_queries
):
    amp = a_piece(technician)
    for day in range(10, 22):
        set_down(technician, amp, SATURDAY, f"2024-11-{day}")
    with django_assert_max_num_queries(12):
        technician_client.get(at(amp))

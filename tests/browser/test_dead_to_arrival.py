"""A dead amplifier in a song: fallback in one tap, a backup ordered, on the way, checked.

The demo's clock stands before show 14 in Bergen; a copy of the demo is moved on through the
evening. The hours of the order are those of the scenario; the limits of presses are domain.md,
rule 15 ('Few taps'), a house rule.
"""

import re
import sqlite3
from contextlib import closing

from playwright.sync_api import Page, expect

from tests.browser.test_bench_journey import Days, Thumb, days

__all__ = ["days"]  # the copy of the demo that can be opened on one moment after another
DIED = "2026-11-24T20:40:00+01:00"
HERE = "2026-11-24T21:05:00+01:00"


def test_from_a_dead_amplifier_to_its_backup_checked_at_the_door(days: Days, phone: Page):
    # In the song: the position opens, its fallback is there at once, one press writes the death.
    register = days.opened(DIED)
    phone.goto(register.at("show/"))
    thumb = Thumb(phone)
    place = phone.locator("details.place").filter(has_text="organ amp").first
    thumb.press(place.locator("summary"))
    expect(place.locator(".fallback")).to_be_visible()
    expect(place.locator("[data-outage]")).not_to_be_empty()  # the same tap wrote it down
    assert thumb.presses == 1

    # Ordered by telephone: the hour makes it a hire and a shipment, in one step.
    phone.goto(register.at("road/backup/2/"))
    phone.get_by_text("Hired combo, two EL84", exact=False).first.click()
    phone.goto(register.at("road/backup/2/choose/OUT-001/"))
    phone.get_by_label("Who authorised it").fill("Ada Quist")
    phone.get_by_label("Expected here").fill("2026-11-24T21:00")
    phone.get_by_label("Who brings it").fill("their van")
    phone.get_by_role("button", name="Take it").click()
    expect(phone.locator("main")).to_contain_text("was chosen")
    expect(phone.locator("body")).to_contain_text("It is on the way as FR-")

    # Tonight says when; once the hour has passed it is late, and only then red.
    phone.goto(register.at(""))
    row = phone.locator("li").filter(has_text="their van")
    expect(row).to_contain_text("on the way, expected 21:00")
    expect(row.locator(".state")).to_have_attribute("data-s", "wait")
    register = days.opened(HERE)
    phone.goto(register.at(""))
    row = phone.locator("li").filter(has_text="their van")
    expect(row.locator(".state")).to_have_attribute("data-s", "over")

    # At the door: warmth first, then what came, what is wrong, and no power while it is cold.
    row.get_by_role("link", name=re.compile("arrival")).click()
    expect(phone.locator("main")).to_contain_text("Out of a cold hold")
    phone.get_by_label("it is still cold").check()
    powered = phone.get_by_label(re.compile(r": powered"))
    powered.select_option("works")
    phone.get_by_role("button", name="It is here").click()
    expect(phone.locator("main")).to_contain_text("It is still cold: leave it unpowered.")
    phone.get_by_label("has warmed").check()
    phone.get_by_label("Minutes it warmed").fill("20")
    phone.get_by_role("button", name="It is here").click()
    expect(phone.locator("main")).to_contain_text("arrived")

    # It is on the plan behind the position, here and tried; nothing is on the way for it.
    phone.goto(register.at(""))
    expect(phone.locator("li").filter(has_text="their van")).to_have_count(0)
    phone.goto(register.at("places/loans/"))
    expect(phone.locator("main")).to_contain_text("Hired combo, two EL84")


def test_a_second_tap_on_sound_is_back_is_no_second_death(days: Days, phone: Page):
    register = days.opened(DIED)
    phone.goto(register.at("show/"))
    place = phone.locator("details.place").filter(has_text="steel amp").first
    place.locator("summary").click()
    place.get_by_role("button", name="Sound is back").and_(phone.locator("[data-back] *")).click()
    expect(place.locator("[data-outage]")).to_contain_text("sound is back")
    # What lies under the same thumb now must not write; opening the place once more does.
    expect(place.get_by_role("button")).to_have_count(0)
    assert deaths(days) == 1
    place.locator("summary").click()
    with phone.expect_response(re.compile("/died/3/$")):
        place.locator("summary").click()
    assert deaths(days) == 2


def deaths(days: Days) -> int:
    """How often the steel amp died, by the book's own rows."""
    with closing(sqlite3.connect(days.folder / "registry.sqlite3")) as book:
        asked = "SELECT count(*) FROM collection_died d JOIN collection_rigposition p ON "
        asked += "p.id = d.position_id WHERE p.number = 3 AND d.at > '2026-11-24'"
        return book.execute(asked).fetchone()[0]

"""A load-out counted by a link on a local hand's phone, with one case that is not found."""

import re

from playwright.sync_api import Browser, Page, expect

from tests.browser.conftest import PHONE, Site

SHOW = "road/shows/W-192/doors/"
LOST = "CASE-14"
TWO_MINUTES = 120.0


def tally(page: Page) -> str:
    return page.locator(".door-tally").inner_text()


def test_a_load_out_is_counted_by_the_link_in_two_minutes_and_both_phones_see_it(
    site: Site, phone: Page, browser: Browser
):
    phone.goto(site.at(SHOW))
    phone.get_by_role("button", name="Count", exact=True).click()
    phone.get_by_role("button", name="Make a link").click()
    address = phone.get_by_label("Address").input_value()

    context = browser.new_context(viewport=PHONE, has_touch=True)
    hand = context.new_page()
    hand.goto(address)
    total = hand.locator(".door-tile").count()
    assert total >= 17
    for box in (tile.bounding_box() for tile in hand.locator(".door-tile .tap").all()):
        assert box["width"] >= 44
        assert box["height"] >= 44
    assert not hand.evaluate("document.documentElement.scrollWidth > innerWidth")

    begun = hand.evaluate("performance.now()")
    codes = [tile.get_attribute("id") for tile in hand.locator(".door-tile").all()]
    for code in codes:
        if LOST not in code:
            hand.locator(f"#{code} .tap").tap()
            expect(hand.locator(f"#{code}")).to_have_class(re.compile("counted"))
    assert (hand.evaluate("performance.now()") - begun) / 1000 < TWO_MINUTES
    assert f"{total - 1} of {total}" in tally(hand)
    assert "not found case 14" in " ".join(tally(hand).split())

    hand.locator("#undo-CASE-01").tap()
    expect(hand.locator("#tile-CASE-01")).not_to_have_class(re.compile("counted"))
    hand.locator("#tap-CASE-01").tap()
    expect(hand.locator("#tile-CASE-01")).to_have_class(re.compile("counted"))

    phone.goto(site.at(SHOW + "1/"))
    expect(phone.locator(".door-tally")).to_contain_text(f"{total - 1} of {total}")
    hand.locator(f"#tap-{LOST}").tap()
    expect(phone.locator(".door-tally")).to_contain_text("all in", timeout=9_000)
    hand.locator(f"#undo-{LOST}").tap()
    expect(phone.locator(".door-tally")).to_contain_text("not found", timeout=9_000)

    phone.reload()
    phone.locator(f'input[name="missed"][value="{LOST}"]').check()
    phone.get_by_role("button", name="Close the count").click()
    expect(phone.locator("main")).to_contain_text(f"Closed: {total - 1} of {total}, not found")
    phone.goto(site.at(f"places/{LOST}/"))
    expect(phone.locator("main")).to_contain_text("not found")
    hand.reload()
    expect(hand.locator("main")).to_contain_text("Thank you")
    assert hand.locator(".tap").count() == 0
    context.close()

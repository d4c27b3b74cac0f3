"""On a phone every press is high enough for a thumb.

44 px: the house rule of the look; WCAG 2.2, success criterion 2.5.5 (level AAA), from memory.
"""

from playwright.sync_api import Page

from tests.browser.conftest import Site

PAGES = (
    "", "show/", "pieces/A-007/", "pieces/E-002/", "places/freight/FR-002/", "papers/made/",
    "road/backup/2/", "places/CASE-02/", "places/stocktakes/",
)  # fmt: skip
LOW = """() => [...document.querySelectorAll('summary, button, .press, select, textarea')]
    .filter(one => one.getClientRects().length && !one.closest('.unseen'))
    .filter(one => one.getBoundingClientRect().height < 43.5)
    .map(one => `${one.tagName} ${one.textContent.trim().slice(0, 40)}`)"""


def test_every_press_is_a_thumb_high(site: Site, phone: Page):
    found = {}
    for path in PAGES:
        phone.goto(site.at(path))
        if low := phone.evaluate(LOW):
            found[path] = low
    assert found == {}

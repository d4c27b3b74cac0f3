"""A stocktake of a bay on a telephone: one piece not found, one too many."""

import re
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import Site, served

BAY = "P-002"  # C-003
MISSED, TOO_MANY = "A-006", "G-011"


@pytest.fixture
def own(site: Site, tmp_path: Path) -> Iterator[Site]:
    """A copy of the demo to write in, so that other tests find their pieces where they were."""
    folder = tmp_path / "copied"
    shutil.copytree(site.folder, folder)
    with served(folder) as address:
        yield Site(address, site.manage, folder)


def test_a_bay_is_counted_with_one_piece_missing_and_one_too_many(own: Site, phone: Page):
    phone.goto(own.at(f"places/{BAY}/"))
    phone.get_by_role("link", name="Stocktake", exact=True).click()
    phone.get_by_role("button", name="Begin to count").click()
    page = phone.url
    expect(phone.get_by_role("heading", level=1)).to_have_text("Blind")
    assert MISSED not in phone.locator("main").inner_text()

    # A telephone's camera opens the address in the QR code.
    phone.goto(own.at("pieces/A-002/"))
    phone.get_by_role("button", name=re.compile("Count it")).click()
    expect(phone.locator("main")).to_contain_text("Counted: A-002")

    phone.get_by_label("Codes seen").fill("a17\nC 003, g11, x99")
    phone.get_by_role("button", name="Count it").click()
    expect(phone.get_by_label("Codes seen")).to_have_value("X99")
    expect(phone.locator("main")).to_contain_text("X99 is no code of this collection")

    phone.goto(page)
    phone.get_by_role("button", name="Done counting").click()
    expect(phone.get_by_role("heading", name=re.compile("Expected and not seen"))).to_be_visible()
    main = phone.locator("main")
    expect(main).to_contain_text(MISSED)
    expect(main).to_contain_text(TOO_MANY)
    assert not phone.evaluate("document.documentElement.scrollWidth > innerWidth")

    phone.get_by_role("button", name="Close and write it down").click()
    expect(main).to_contain_text("counted and closed by one person")
    expect(main).to_contain_text("nobody signs their own count")
    phone.goto(own.at(f"pieces/{MISSED}/"))
    expect(phone.locator("main")).to_contain_text("not found")
    phone.goto(own.at(f"pieces/{TOO_MANY}/"))
    expect(phone.locator("main")).to_contain_text("bay 1")

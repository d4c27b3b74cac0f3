"""What is printed from a page names what the page names."""

import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import Site


@pytest.mark.parametrize(
    ("path", "name", "leads_on"),
    [
        ("papers/theft/I-003/tasks/", "Police: report by telephone", "The notice"),
        ("papers/seals/", "SEAL-001", "The book"),
    ],
)
def test_a_printed_list_keeps_the_name_of_each_line(
    site: Site, phone: Page, path: str, name: str, leads_on: str
):
    phone.goto(site.at(path))
    phone.emulate_media(media="print")
    expect(phone.get_by_text(name, exact=True)).to_be_visible()
    expect(phone.locator("main").get_by_text(leads_on, exact=True)).to_be_hidden()

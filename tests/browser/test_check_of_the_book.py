"""The check of the book takes a while: its press says so, and needs no script."""

import re

from playwright.sync_api import Browser, Page, expect

from tests.browser.conftest import Site


def test_the_press_rests_while_the_book_is_checked(phone: Page, site: Site) -> None:
    waiting = []
    phone.goto(site.at("book/check/"))
    phone.route("**/book/check/", lambda route: waiting.append(route))
    phone.get_by_role("button", name=re.compile("Check all")).click()
    expect(phone.get_by_role("button", name=re.compile("Checking"))).to_be_disabled()
    expect(phone.get_by_text("the answer comes on this page")).to_be_visible()
    waiting[0].continue_()
    expect(phone.get_by_text("everything fits")).to_be_visible(timeout=30_000)
    expect(phone.get_by_role("button", name=re.compile("Check all"))).to_be_enabled()


def test_without_script_the_check_answers_with_a_page(
    browser: Browser, signed_in: dict, site: Site
) -> None:
    context = browser.new_context(java_script_enabled=False, storage_state=signed_in)
    page = context.new_page()
    page.goto(site.at("book/check/"))
    page.get_by_role("button", name=re.compile("Check all")).click(timeout=30_000)
    expect(page.get_by_text("everything fits")).to_be_visible(timeout=30_000)
    context.close()

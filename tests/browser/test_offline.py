"""A phone after one visit, and the network gone: pages open, presses wait and go out once."""

import json
import re
import shutil
from collections.abc import Callable, Iterator
from datetime import UTC, datetime, timedelta
from itertools import pairwise
from pathlib import Path

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, expect

from tests.browser.conftest import PHONE, Site, manage_in, served

HELD = """(async () => {
  const open = indexedDB.open('register', 1);
  const base = await new Promise(done => { open.onsuccess = () => done(open.result); });
  const asked = base.transaction('%s').objectStore('%s').%s;
  return new Promise(done => { asked.onsuccess = () => done(asked.result ?? null); });
})()"""
ENTRIES = HELD % ("entries", "entries", "getAll()")
WARMED = HELD % ("facts", "facts", "get('warmed')")
CACHES = "caches.keys().then(names => names.filter(name => name.startsWith('pages:')))"
FORGET_THE_LIST = HELD.replace("'%s')", "'%s', 'readwrite')", 1) % (
    "facts", "facts", "delete('kept')",
)  # fmt: skip
KEPT = (
    "caches.keys().then(async names => (await Promise.all(names"
    ".filter(name => name.startsWith('pages:'))"
    ".map(async name => (await (await caches.open(name)).keys()).length)))"
    ".reduce((sum, one) => sum + one, 0))"
)
WRITTEN = (
    "import json; from collection.ledger.models import Event; "
    "rows = Event.objects.filter(once__isnull=False).order_by('sequence'); "
    "print(json.dumps([[e.once, e.kind, e.subject.code, e.words, "
    "e.written_at and e.written_at.timestamp()] for e in rows]))"
)
LINE = "[data-waits-said]"
NOTE = "One line: what, where"


@pytest.fixture(scope="module")
def ours(loaded: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Site]:
    """A copy of the demo for these tests alone: what is written there is counted."""
    folder = tmp_path_factory.mktemp("offline") / "var"
    shutil.copytree(loaded, folder)
    with served(folder) as address:
        yield Site(address, manage_in(folder), folder)


@pytest.fixture
def phone_of(ours: Site, browser: Browser) -> Iterator[Callable[[str], BrowserContext]]:
    """A phone with a service worker of its own, on which somebody has signed in."""
    opened: list[BrowserContext] = []

    def make(name: str = "ines") -> BrowserContext:
        context = browser.new_context(viewport=PHONE)
        context.set_default_timeout(8000)
        opened.append(context)
        sign_in(context, ours, name)
        return context

    yield make
    for context in opened:
        context.close()


def sign_in(context: BrowserContext, site: Site, name: str) -> None:
    link = re.search(r"/link/\S+/", site.manage("link", name))
    page = context.new_page()
    page.goto(site.address + link[0])
    page.get_by_role("button", name=re.compile("sign in|come in", re.IGNORECASE)).click()
    page.wait_for_url(re.compile("mirren-vale|password"))
    page.close()


def written(site: Site) -> dict[str, list]:
    """Entries that came with a `once`, by it, in the order of the book."""
    told = json.loads(site.manage("shell", "-v", "0", "-c", WRITTEN).splitlines()[-1])
    return {once: rest for once, *rest in told}


def note(page: Page, words: str) -> None:
    """One line in show mode, kept on the phone."""
    page.get_by_placeholder(NOTE).fill(words)
    page.get_by_role("button", name="Save", exact=True).click()
    expect(page.get_by_placeholder(NOTE)).to_have_value("")


def kept_count(page: Page, count: int) -> None:
    """Wait until so many entries are on the phone; the line that says so may not be drawn yet."""
    for _ in range(150):
        if len(page.evaluate(ENTRIES)) == count:
            return
        page.wait_for_timeout(200)
    assert len(page.evaluate(ENTRIES)) == count


def wait_until_sent(page: Page) -> None:
    kept_count(page, 0)
    expect(page.locator("[data-waits]")).to_be_hidden()


def warmed(page: Page, site: Site) -> None:
    """One visit to Tonight, long enough for its pages to be fetched."""
    page.goto(site.at(""))
    for _ in range(120):
        page.wait_for_timeout(500)
        if page.evaluate(WARMED):
            return
    raise AssertionError("the pages of the evening were not kept within a minute")


def some_kept(page: Page) -> None:
    """Wait until several pages are kept; a promise asked for by `wait_for_function` is true at
    once, so the count is asked for again and again."""
    for _ in range(60):
        if page.evaluate(KEPT) > 2:
            return
        page.wait_for_timeout(500)
    raise AssertionError("no pages were kept within half a minute")


class Evening:
    """Ten minutes without network: what is pressed, every 20 seconds of the phone's clock."""

    def __init__(self, page: Page, site: Site) -> None:
        self.page, self.site, self.presses = page, site, 0
        self.start = datetime.now(UTC) - timedelta(minutes=10)

    def _tick(self) -> None:
        self.page.clock.set_fixed_time(self.start + timedelta(seconds=20 * self.presses))
        self.presses += 1

    def open(self, path: str) -> None:
        self.page.goto(self.site.at(path))
        expect(self.page.locator("[data-kept-mark]")).to_contain_text("this page is as of")

    def note(self, words: str) -> None:
        self._tick()
        note(self.page, words)

    def died(self, number: int) -> None:
        self._tick()
        place = self.page.locator("details.place").nth(number)
        place.locator("summary").click()
        expect(place.locator("[data-silent]")).to_contain_text("silent")
        kept_count(self.page, self.presses)

    def move(self, code: str) -> None:
        self.open(f"places/of/{code}/move/")
        self._tick()
        self.page.locator(".place-presses button").first.click()
        expect(self.page.locator(".queue-said")).to_contain_text("Kept on this phone")

    def tell(self, code: str, words: str) -> None:
        self.open(f"bench/record/{code}/")
        self._tick()
        self.page.get_by_label(f"Note on {code}").fill(words)
        self.page.get_by_role("button", name="Save the note").click()
        expect(self.page.locator(".queue-said")).to_contain_text("Kept on this phone")

    def log(self) -> None:
        self.open("road/shows/W-192/log/")
        self._tick()
        self.page.get_by_role("button", name="Log the show").click()
        expect(self.page.locator(".queue-said")).to_contain_text("Kept on this phone")


@pytest.mark.slow
def test_thirty_presses_of_ten_minutes_without_network_are_written_once_and_in_order(
    ours: Site, phone_of
):
    context = phone_of()
    page = context.new_page()
    said: list[str] = []
    page.on("console", lambda message: said.append(message.text))
    warmed(page, ours)
    before = written(ours)
    context.set_offline(True)

    evening = Evening(page, ours)
    for path, words in {"": "Bergen", "road/tours/T-012/rig/": "Rig plan", "show/": "Show 14",
                        "bench/sheets/A-007/": "Settings"}.items():  # fmt: skip
        evening.open(path)
        expect(page.locator("h1")).to_have_text(re.compile(words, re.IGNORECASE))
    evening.open("show/")
    for number in range(7):
        evening.died(number)
    for number in range(6):
        evening.note(f"line {number}")
    evening.open("show/")  # the same kept copy again: its tokens must not be used twice
    for number in range(6, 12):
        evening.note(f"line {number}")
    for code in ("A-007", "A-003", "E-002"):
        evening.move(code)
        evening.tell(code, f"warm, {code}")
        evening.tell(code, f"warmer, {code}")
    evening.tell("G-001", "new strings sound dull")
    evening.log()
    assert evening.presses == 30
    expect(page.locator(LINE)).to_contain_text("30 wait to be sent · the first from")
    page.goto(ours.at("stock/"))
    expect(page.get_by_text("The page you asked for is not on this phone")).to_be_visible()
    evening.open("")
    page.get_by_role("button", name=re.compile("stands at the side")).first.click()
    expect(page.get_by_text("This needs the network; nothing was sent.")).to_be_visible()
    held = page.evaluate(ENTRIES)
    assert written(ours) == before

    # Back again, with a second tab, and the first one reloaded while it sends.
    page.clock.set_system_time(datetime.now(UTC))
    other = context.new_page()
    other.goto(ours.at("show/"))
    context.set_offline(False)
    left = []
    for _ in range(3):
        page.wait_for_timeout(350)
        left.append(len(page.evaluate(ENTRIES)))
        page.reload()
    assert any(0 < count < 30 for count in left), f"no reload fell into the sending: {left}"
    wait_until_sent(other)
    wait_until_sent(page)

    after = written(ours)
    new = [once for once in after if once not in before]
    assert new == [entry["once"] for entry in held]
    assert [after[once][0] for once in new] == (
        ["died"] * 7 + ["noted"] * 12 + ["moved", "noted", "noted"] * 3 + ["noted", "played"]
    )
    assert [after[once][2] for once in new][7:19] == [f"line {number}" for number in range(12)]
    # The phone's clock against the site's, which is set apart from it in a demo.
    ahead = float((ours.folder / "clock").read_text())
    for entry, once in zip(held, new, strict=True):
        assert after[once][3] == pytest.approx(entry["at"] / 1000 + ahead, abs=3)
    times = [after[once][3] for once in new]
    assert [round(b - a) for a, b in pairwise(times)] == [20] * 29
    assert "all entries fit" in ours.manage("verify")
    assert not [text for text in said if "Content Security Policy" in text]


def test_an_answer_that_was_lost_leads_to_no_second_entry(ours: Site, phone_of):
    context = phone_of()
    page = context.new_page()
    page.goto(ours.at("show/"))
    lost: list[int] = []

    def lose_the_first_answer(route):
        answer = route.fetch()
        if lost:
            route.fulfill(response=answer)
        else:
            lost.append(answer.status)
            route.abort()

    context.route("**/note/", lose_the_first_answer)
    note(page, "the answer to this is lost")
    assert lost == [200]
    assert len(page.evaluate(ENTRIES)) == 1
    page.reload()
    wait_until_sent(page)
    words = [told[2] for told in written(ours).values()]
    assert words.count("the answer to this is lost") == 1


def test_what_is_refused_stays_with_its_reason_and_those_behind_it_go_out(ours: Site, phone_of):
    context = phone_of()
    page = context.new_page()
    page.goto(ours.at("bench/record/A-004/faulted/"))
    context.set_offline(True)
    page.get_by_label("What it does").fill("crackles when tapped")
    page.get_by_text("not me / not now").click()
    page.get_by_label("When", exact=False).first.fill("abuot 1985")
    page.get_by_role("button", name="Save").first.click()
    expect(page.locator(".queue-said")).to_be_visible()
    page.get_by_label("What it does").fill("hums")
    page.get_by_role("button", name="Save").first.click()
    expect(page.locator(LINE)).to_contain_text("2 wait to be sent")
    context.set_offline(False)
    expect(page.locator(LINE)).to_have_text("1 was refused", timeout=20_000)

    page.goto(ours.at("waiting/"))
    refused = page.locator('[data-section="refused"]')
    expect(refused).to_contain_text("crackles when tapped")
    expect(refused.locator(".wrong-note")).to_contain_text("cannot be read")
    refused.get_by_role("button", name="Discard").click()
    expect(refused).to_contain_text("Discard it for good")  # one press discards nothing
    refused.get_by_role("button", name="Put it right").click()
    refused.get_by_label("When").fill("about 1985")
    refused.get_by_role("button", name="Send it again").click()
    wait_until_sent(page)
    assert [told[0] for told in written(ours).values() if told[1] == "A-004"][-2:] == [
        "faulted", "faulted",
    ]  # fmt: skip


@pytest.mark.parametrize(("status", "stays"), [(503, True), (404, False)])
def test_what_is_kept_goes_with_membership_and_stays_while_the_register_is_ill(
    ours: Site, phone_of, status: int, stays: bool
):
    context = phone_of()
    page = context.new_page()
    page.goto(ours.at("show/"))
    some_kept(page)
    context.route("**/waiting/kept/", lambda route: route.fulfill(status=status, body=""))
    page.evaluate(FORGET_THE_LIST)
    with page.expect_response("**/waiting/kept/") as answered:
        page.goto(ours.at("pieces/"))
    assert answered.value.status == status
    page.wait_for_timeout(500)
    assert (page.evaluate(KEPT) > 2) is stays


def test_signing_out_asks_while_something_waits_and_leaves_nothing_behind(ours: Site, phone_of):
    context = phone_of()
    page = context.new_page()
    page.goto(ours.at("show/"))
    some_kept(page)
    context.route("**/waiting/ready/", lambda route: route.abort())
    note(page, "not sent yet")
    page.goto(ours.at("more/"))
    sign_out = page.locator("main").get_by_role("button", name="Sign out")
    sign_out.click()
    dialog = page.get_by_role("dialog")
    expect(dialog).to_contain_text("1 entry on this phone is not in the book yet")
    dialog.get_by_role("button", name="Stay, let them be sent").click()
    assert len(page.evaluate(ENTRIES)) == 1
    sign_out.click()
    dialog.get_by_role("button", name="Discard them and sign out").click()
    page.wait_for_url(re.compile("/sign-in/"))
    assert page.evaluate(ENTRIES) == []
    assert page.evaluate(CACHES) == []


def test_an_ended_session_keeps_the_queue_and_nobody_else_sends_it(ours: Site, phone_of):
    context = phone_of()
    page = context.new_page()
    page.goto(ours.at("show/"))
    context.set_offline(True)
    note(page, "of the one who wrote it")
    context.clear_cookies(name="sessionid")
    context.set_offline(False)
    expect(page.locator(LINE)).to_contain_text("sign in to send", timeout=20_000)

    sign_in(context, ours, "bo")
    page.goto(ours.at("pieces/"))
    expect(page.locator(LINE)).to_contain_text("who has to sign in")
    page.goto(ours.at("waiting/"))
    expect(page.locator("main")).to_contain_text("Note on show 14")
    expect(page.locator("main")).not_to_contain_text("of the one who wrote it")
    page.get_by_role("button", name="Sign out").click()  # has nothing waiting of his own
    page.wait_for_url(re.compile("/sign-in/"))
    expect(page.locator(LINE)).to_have_text(re.compile("1 waits to be sent.*sign in to send"))
    assert len(page.evaluate(ENTRIES)) == 1
    sign_in(context, ours, "ines")
    page.goto(ours.at("pieces/"))
    wait_until_sent(page)
    assert [told[2] for told in written(ours).values()].count("of the one who wrote it") == 1


def test_with_network_a_form_leads_where_it_always_led(ours: Site, phone_of):
    page = phone_of().new_page()
    page.goto(ours.at("bench/record/A-004/"))
    page.get_by_label("Note on A-004").fill("sounds as it should")
    page.get_by_role("button", name="Save the note").click()
    expect(page).to_have_url(ours.at("pieces/A-004/"))
    expect(page.locator(".messages")).to_contain_text("Written: sounds as it should")
    page.goto(ours.at("places/of/A-004/move/"))
    page.get_by_role("button", name="Look for it").click()  # asks, writes nothing, is not queued
    expect(page).to_have_url(ours.at("places/of/A-004/move/"))
    assert page.evaluate(ENTRIES) == []


def test_with_network_a_refusal_stands_on_the_forms_own_page_and_not_in_the_list(
    ours: Site, phone_of
):
    page = phone_of().new_page()
    page.goto(ours.at("bench/record/A-004/faulted/"))
    page.get_by_label("What it does").fill("whistles")
    page.get_by_text("not me / not now").click()
    page.get_by_label("When", exact=False).first.fill("abuot 1985")
    page.get_by_role("button", name="Save").first.click()
    expect(page.get_by_role("alert")).to_contain_text("1 to put right")
    expect(page.get_by_label("What it does")).to_have_value("whistles")
    # The form that came back carries the entry on; the list lets go of it.
    wait_until_sent(page)

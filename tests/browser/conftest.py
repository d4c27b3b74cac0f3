"""The demo, loaded and served as a visitor gets it, and one browser for the whole run."""

import os
import re
import shutil
import socket
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from urllib.request import urlopen

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, sync_playwright

ROOT = Path(__file__).resolve().parents[2]
CHROMIUM = shutil.which("chromium")
# Without these Debian's chromium asks its maker's hosts at every start.
QUIET = (
    "--no-sandbox",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--no-first-run",
)
PHONE = {"width": 390, "height": 844}
DESK = {"width": 1440, "height": 1000}


@dataclass(frozen=True)
class Site:
    """Where the demo is served, and the command that works on its files."""

    address: str
    manage: Callable[..., str]
    folder: Path

    def at(self, path: str) -> str:
        return f"{self.address}/mirren-vale/{path}"


def _environment(folder: Path) -> dict[str, str]:
    settings = {"REGISTRY_VAR": str(folder), "DJANGO_SETTINGS_MODULE": "registry.settings"}
    return {**os.environ, **settings}


def manage_in(folder: Path) -> Callable[..., str]:
    """manage.py on a folder of the register: words in, what it printed out."""
    environment = _environment(folder)

    def manage(*words: str) -> str:
        command = [sys.executable, "manage.py", *words]
        done = subprocess.run(
            command, cwd=ROOT, env=environment, capture_output=True, text=True, check=False
        )
        assert done.returncode == 0, f"{words}: {done.stdout[-2000:]}{done.stderr[-2000:]}"
        return done.stdout

    return manage


def _free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return probe.getsockname()[1]


def _wait_for(address: str) -> None:
    for _ in range(150):
        try:
            urlopen(f"{address}/sign-in/", timeout=2).close()
            return
        except OSError:
            time.sleep(0.2)
    raise AssertionError(f"nothing answers at {address}")


@contextmanager
def served(folder: Path) -> Iterator[str]:
    """A folder of the register, served on a free port until the block ends; its address."""
    address = f"http://127.0.0.1:{(port := _free_port())}"
    server = subprocess.Popen(
        [sys.executable, "manage.py", "runserver", "--noreload", f"127.0.0.1:{port}"],
        cwd=ROOT,
        env=_environment(folder),
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
    )
    try:
        _wait_for(address)
        yield address
    finally:
        server.terminate()
        server.wait(10)


@pytest.fixture(scope="session")
def loaded(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder of a demo as it is loaded; nothing writes there, only copies are used."""
    folder = tmp_path_factory.mktemp("loaded")
    manage_in(folder)("demo", "--no-serve")
    return folder


@pytest.fixture(scope="session")
def site(loaded: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Site]:
    """A copy of the demo, served on a free port."""
    folder = tmp_path_factory.mktemp("demo") / "var"
    shutil.copytree(loaded, folder)
    with served(folder) as address:
        yield Site(address, manage_in(folder), folder)


@pytest.fixture(scope="session")
def commanded(loaded: Path, tmp_path_factory: pytest.TempPathFactory) -> Callable[..., str]:
    """manage.py on a copy of the demo that nobody serves, for commands that leave things behind."""
    folder = tmp_path_factory.mktemp("commanded") / "var"
    shutil.copytree(loaded, folder)
    return manage_in(folder)


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """Debian's chromium."""
    assert CHROMIUM, "chromium is not installed; .ci/run installs it"
    with sync_playwright() as playwright:
        chromium = playwright.chromium.launch(executable_path=CHROMIUM, args=list(QUIET))
        yield chromium
        chromium.close()


@pytest.fixture(scope="session")
def signed_in(site: Site, browser: Browser) -> dict:
    """Cookies of Ines, who came in by a one-time link."""
    link = re.search(r"/link/\S+/", site.manage("link", "ines"))
    assert link, "the link command prints a link"
    context = browser.new_context()
    page = context.new_page()
    page.goto(site.address + link[0])
    page.get_by_role("button", name=re.compile("sign in|come in", re.IGNORECASE)).click()
    page.wait_for_url(re.compile("mirren-vale|password"))
    state = context.storage_state()
    context.close()
    return state


@pytest.fixture
def context_of(browser: Browser, signed_in: dict) -> Iterator[Callable[..., BrowserContext]]:
    """A signed-in window of a size and light; pages that break the content policy fail."""
    opened: list[BrowserContext] = []

    def make(
        viewport: dict = PHONE, light: str = "paper", workers: str = "block"
    ) -> BrowserContext:
        # Only the tests of the service worker let one fetch a hundred pages beside them.
        context = browser.new_context(
            viewport=viewport, storage_state=signed_in, service_workers=workers
        )
        cookies = context.cookies()
        context.add_cookies(
            [{"name": "light", "value": light, "url": f"http://{cookies[0]['domain']}"}]
        )
        context.set_default_timeout(8000)
        opened.append(context)
        return context

    yield make
    for context in opened:
        context.close()


@pytest.fixture
def phone(context_of: Callable[..., BrowserContext]) -> Iterator[Page]:
    """A phone in the technician's hand; console messages about the policy fail the test."""
    page = context_of(PHONE).new_page()
    said: list[str] = []
    page.on("console", lambda message: said.append(message.text))
    yield page
    assert not [text for text in said if "Content Security Policy" in text]


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Everything in this folder drives the browser."""
    for item in items:
        if item.path.parent == Path(__file__).parent:
            item.add_marker(pytest.mark.browser)

"""A real browser, a real server on a free port, and a folder for what the page looks like."""

from __future__ import annotations

import os
import shutil
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, Playwright, expect, sync_playwright

from assistant.web.server import Running
from tests.assistant.fakes import FakeServices
from tests.assistant.served import serving

SHOTS = "PREP_ASSISTANT_SCREENSHOTS"  # a folder; without it no screenshot is kept
PATIENCE_MS = 30_000  # for a state to come, on a busy machine; one that never comes fails all the same
QUIET = [
    "--headless=new",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--autoplay-policy=no-user-gesture-required",
]
MICROPHONE = ["--use-fake-ui-for-media-stream", "--use-fake-device-for-media-stream"]
CHROMIUM = shutil.which("chromium")

expect.set_options(timeout=PATIENCE_MS)

Launch = Callable[..., Browser]


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """All tests here need Chromium; where there is none they are skipped, and say so."""
    for item in items:
        if Path(__file__).parent in item.path.parents:
            item.add_marker(pytest.mark.browser)
            if CHROMIUM is None:
                item.add_marker(pytest.mark.skip(reason="Chromium is not installed"))


@pytest.fixture(scope="session")
def playwright() -> Iterator[Playwright]:
    """The driver."""
    with sync_playwright() as driver:
        yield driver


@pytest.fixture(scope="session")
def launch(playwright: Playwright) -> Launch:
    """Starts a browser; with a sound file, one whose microphone plays it once."""

    def start(sound: Path | None = None) -> Browser:
        played = [f"--use-file-for-fake-audio-capture={sound}%noloop"] if sound else []
        return playwright.chromium.launch(executable_path=CHROMIUM, args=[*QUIET, *MICROPHONE, *played])

    return start


@pytest.fixture(scope="session")
def browser(launch: Launch) -> Iterator[Browser]:
    """One browser for all tests that speak no words; its microphone beeps."""
    started = launch()
    yield started
    started.close()


@pytest.fixture
def services() -> FakeServices:
    """Canned replies."""
    return FakeServices()


@pytest.fixture
def server(services: FakeServices) -> Iterator[Running]:
    """A server of canned replies."""
    with serving(services) as running:
        yield running


@pytest.fixture
def page(browser: Browser, server: Running) -> Iterator[Page]:
    """The page, open at tablet size, in a browser that knows nothing yet."""
    context = browser.new_context(viewport={"width": 1024, "height": 768})
    opened = context.new_page()
    opened.goto(server.address)
    yield opened
    context.close()


@pytest.fixture(scope="session")
def keep_shot() -> Callable[[Page, str], None]:
    """Keeps a screenshot under a name, where the environment names a folder for it."""
    folder = os.environ.get(SHOTS)

    def keep(page: Page, name: str) -> None:
        if folder:
            page.screenshot(path=Path(folder) / f"{name}.png")

    return keep

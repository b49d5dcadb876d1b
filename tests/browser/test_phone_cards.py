"""The manager's widest cards on phones: no figure is cut off, and cautions leave the card its room."""

from __future__ import annotations

from collections.abc import Callable, Iterator

import pytest
from playwright.sync_api import Browser, Page

from assistant.web.server import Running
from tests.assistant.served import serving
from tests.browser.test_print import Answering

PHONES = {"small-phone": (320, 640), "phone": (390, 844), "large-phone": (430, 932)}
CUT_OFF = """() => [...document.querySelectorAll('.room .scrolls')]
  .filter(table => table.scrollWidth > table.clientWidth + 1).map(table => table.getAttribute('aria-label'))"""
LINES_IN_VIEW = """() => { const room = document.querySelector('.room').getBoundingClientRect();
  return [...document.querySelectorAll('.room tbody tr')].filter(line => {
    const box = line.getBoundingClientRect(); return box.top >= room.top && box.bottom <= room.bottom }).length }"""
CAUTIONS_IN_VIEW = """() => [...document.querySelectorAll('.cautions li')].every(line => {
  const box = line.getBoundingClientRect(); return box.top >= 0 && box.bottom <= innerHeight })"""


@pytest.fixture(scope="module")
def server() -> Iterator[Running]:
    """A server of the real cards."""
    with serving(Answering()) as running:
        yield running


@pytest.fixture(params=PHONES)
def phone(browser: Browser, server: Running, request: pytest.FixtureRequest) -> Iterator[tuple[str, Page]]:
    """A phone, and what it is called."""
    width, height = PHONES[request.param]
    page = browser.new_page(viewport={"width": width, "height": height})
    page.goto(server.address)
    yield request.param, page
    page.close()


def show(page: Page, name: str) -> None:
    """Ask for a card by its name."""
    page.fill("#words", name)
    page.press("#words", "Enter")
    page.wait_for_selector("body[data-view=reply][data-state=ready] .card")


@pytest.mark.parametrize("name", ["menu", "cost", "batch"])
def test_no_column_is_cut_off(phone: tuple[str, Page], name: str, keep_shot: Callable[[Page, str], None]) -> None:
    """The margin of the menu's drinks stands in full beside their price."""
    size, page = phone
    show(page, name)
    keep_shot(page, f"{size}-{name}")
    assert page.evaluate(CUT_OFF) == []


def test_a_batch_is_read_above_its_cautions(phone: tuple[str, Page]) -> None:
    """Six cautions are in view whole, and so are at least the batch's own lines; fewer only on the smallest phone."""
    size, page = phone
    show(page, "batch")
    assert page.locator(".cautions li").count() >= 5
    assert page.evaluate(CAUTIONS_IN_VIEW)
    assert page.evaluate(LINES_IN_VIEW) >= (1 if size == "small-phone" else 5)
